"""What the rules make of a visit's records as they stand."""

from typing import Any
from uuid import UUID

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from findings.api.serializers import ProposalOut
from findings.selectors.evaluation import Evaluation, evaluate
from firm.api.errors import ErrorOut
from firm.api.member import MemberApi
from inspections.access import contents_to_read


class VisitProposalsApi(MemberApi):
    @extend_schema(
        operation_id="visit_proposals",
        responses={
            200: ProposalOut(many=True),
            **dict.fromkeys((401, 403, 404), ErrorOut),
        },
    )
    def get(self, request: Request, visit_id: UUID) -> Response:
        """List what the rules offer, hazards first."""
        visit = contents_to_read(self.actor, visit_id)
        rows = _rows(evaluate(self.actor, visit))
        return Response(ProposalOut(rows, many=True).data)


def _rows(seen: Evaluation) -> list[dict[str, Any]]:
    waiting = {proposal.key for proposal in seen.undecided}
    return [
        proposal.as_dict()
        | {
            "covers": proposal.covers,
            "decided": seen.decisions[proposal.key].choice
            if proposal.key in seen.decisions
            else "",
            "waits": proposal.key in waiting,
        }
        for proposal in seen.proposals
    ]
