"""A phone's small copy of a photo, sent before the photo itself."""

from __future__ import annotations

from uuid import UUID

from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from findings.services import previews
from firm.api.errors import ErrorOut
from firm.errors import BadInput
from inspections.api.base import OwnTransactionsApi, body_length

JPEG = "image/jpeg"


class PhotoPreviewApi(OwnTransactionsApi):
    @extend_schema(
        operation_id="photo_preview_write",
        request={JPEG: OpenApiTypes.BINARY},
        responses={
            204: None,
            **dict.fromkeys((400, 401, 403, 404, 409, 411, 413, 415), ErrorOut),
        },
    )
    def put(self, request: Request, visit_id: UUID, photo_id: UUID) -> Response:
        """Keep a JPEG of at most 320 pixels and 64 KiB until the photo is here."""
        previews.keep(
            actor=self.actor,
            visit_id=visit_id,
            photo_id=photo_id,
            content=_body(request),
            now=timezone.now(),
        )
        return Response(status=204)


def _body(request: Request) -> bytes:
    length = body_length(request, previews.MAX_BYTES)
    body: bytes = request.body
    if len(body) != length:
        raise BadInput("The body was cut short on its way. Send it again.")
    return body
