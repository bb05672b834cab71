"""A phone and a visit's log: push, changes, manifest."""

from __future__ import annotations

from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.utils import timezone
from django.utils.dateparse import parse_datetime
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import exceptions
from rest_framework.request import Request
from rest_framework.response import Response

from firm.api.errors import ErrorOut
from firm.api.member import MemberApi
from firm.selectors.installation import incarnation
from firm.tenancy import bound
from inspections.access import contents_to_read, visit_to_record
from inspections.api.base import (
    MAX_PAGE,
    OwnTransactionsApi,
    TooLarge,
    body_length,
    number_in,
)
from inspections.api.serializers import (
    ChangesOut,
    ManifestOut,
    ProofIn,
    ProofOut,
    PushEnvelopeIn,
    PushIn,
    PushOut,
)
from inspections.selectors import changes
from inspections.services import log, proofs

MAX_BATCH_BYTES: Final = 256 * 1024
MAX_BATCH: Final = 100
SYNC: Final = 1
_REFUSALS: Final = dict.fromkeys((400, 401, 403, 404), ErrorOut)


class VisitPushApi(OwnTransactionsApi):
    @extend_schema(
        operation_id="visit_push",
        request=PushIn,
        responses={200: PushOut, **_REFUSALS, 411: ErrorOut, 413: ErrorOut},
    )
    def post(self, request: Request, visit_id: UUID) -> Response:
        """Add a phone's entries to the visit's log."""
        sent = _batch(request)
        received_at = timezone.now()
        answer = log.push(
            actor=self.actor,
            visit_id=visit_id,
            device=sent["device"],
            client=sent["client"],
            now=_moment(sent["now"]),
            mutations=sent["mutations"],
            received_at=received_at,
        )
        head = {"sync": SYNC, "req": sent["req"], "now": received_at}
        return Response(PushOut(head | _fields(answer)).data)


class VisitChangesApi(MemberApi):
    @extend_schema(
        operation_id="visit_changes",
        parameters=[
            OpenApiParameter("after", int, description="The last version known."),
            OpenApiParameter("limit", int, description="Up to 1000; else 500."),
        ],
        responses={200: ChangesOut, **_REFUSALS},
    )
    def get(self, request: Request, visit_id: UUID) -> Response:
        """Read what was added after a version, in the order it was committed."""
        visit = contents_to_read(self.actor, visit_id)
        query = request.query_params
        page = changes.changes(
            self.actor,
            visit,
            after=number_in(query, "after", 0, 0, 2**62),
            limit=number_in(query, "limit", 500, 1, MAX_PAGE),
        )
        head = {"sync": SYNC, "incarnation": incarnation()}
        return Response(ChangesOut(head | _fields(page)).data)


class VisitManifestApi(OwnTransactionsApi):
    @extend_schema(
        operation_id="visit_manifest", responses={200: ManifestOut, **_REFUSALS}
    )
    def get(self, request: Request, visit_id: UUID) -> Response:
        """Read the proof of what is here, to hold against what the phone has."""
        with bound(self.actor.firm.pk):
            visit = contents_to_read(self.actor, visit_id)
            held = changes.manifest(self.actor, visit)
        head = {"sync": SYNC, "incarnation": incarnation()}
        return Response(ManifestOut(head | _fields(held)).data)

    @extend_schema(
        operation_id="visit_manifest_prove",
        request=ProofIn,
        responses={200: ProofOut, **_REFUSALS, 409: ErrorOut},
    )
    def post(self, request: Request, visit_id: UUID) -> Response:
        """Keep with the visit that a device's list is the same, and all photos here."""
        with bound(self.actor.firm.pk):
            visit_to_record(self.actor, visit_id)
        sent = ProofIn(data=request.data)
        sent.is_valid(raise_exception=True)
        kept = proofs.keep(
            actor=self.actor,
            visit_id=visit_id,
            compared=proofs.Compared(**sent.validated_data),
            now=timezone.now(),
        )
        fields = ("at", "version", "count", "photos", "digest")
        told = {name: getattr(kept, name) for name in fields}
        return Response(ProofOut({"sync": SYNC, **told}).data)


def _batch(request: Request) -> dict[str, Any]:
    body_length(request, MAX_BATCH_BYTES)
    try:
        envelope = PushEnvelopeIn(data=request.data)
        envelope.is_valid(raise_exception=True)
    except RecursionError as error:
        raise exceptions.ParseError("The body is nested too deeply.") from error
    sent: dict[str, Any] = envelope.validated_data
    if len(sent["mutations"]) > MAX_BATCH:
        raise TooLarge(f"At most {MAX_BATCH} mutations are taken at once.")
    return sent


def _moment(text: str | None) -> datetime | None:
    """Read the phone's clock, which is only noted; None when it cannot be read."""
    try:
        moment = parse_datetime(text or "")
    except ValueError:
        return None
    return moment if moment and timezone.is_aware(moment) else None


def _fields(row: Any) -> dict[str, Any]:
    return {name: getattr(row, name) for name in row.__slots__}
