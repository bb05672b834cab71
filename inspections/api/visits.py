"""The visits of a member, as a phone takes them along."""

from uuid import UUID

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from firm.api.errors import ErrorOut
from firm.api.member import MemberApi
from inspections.access import visit_to_read
from inspections.api.serializers import VisitDetailOut, VisitOut
from inspections.selectors import phone


class VisitListApi(MemberApi):
    @extend_schema(
        operation_id="visits_list",
        responses={200: VisitOut(many=True), 401: ErrorOut, 403: ErrorOut},
    )
    def get(self, request: Request) -> Response:
        """List the visits that this member may see."""
        return Response(VisitOut(phone.visit_rows(self.actor), many=True).data)


class VisitReadApi(MemberApi):
    @extend_schema(
        operation_id="visit_read",
        responses={200: VisitDetailOut, 401: ErrorOut, 403: ErrorOut, 404: ErrorOut},
    )
    def get(self, request: Request, visit_id: UUID) -> Response:
        """Read one visit with what its inspector needs at the door."""
        visit = visit_to_read(self.actor, visit_id)
        return Response(VisitDetailOut(phone.visit_detail(self.actor, visit)).data)
