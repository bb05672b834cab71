"""Uploads of photos by tus 1.0.0: creation, checksum, expiration, termination."""

from __future__ import annotations

from typing import Any, Final
from uuid import UUID

from django.urls import reverse
from django.utils import timezone
from django.utils.http import http_date
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from firm.api.errors import ErrorOut
from firm.errors import BadInput
from firm.tenancy import bound
from inspections.api import tus
from inspections.api.base import OwnTransactionsApi, body_length
from inspections.services import uploads

_REFUSALS: Final = dict.fromkeys((400, 401, 403, 404, 412), ErrorOut)


def _header(name: str, kind: Any = str, *, required: bool = True) -> OpenApiParameter:
    return OpenApiParameter(
        name, kind, OpenApiParameter.HEADER, required=required, description="tus 1.0.0"
    )


class TusApi(OwnTransactionsApi):
    """An operation of the upload protocol; every answer names its version."""

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        if request.method != "OPTIONS":
            tus.require_version(request.headers)

    def finalize_response(
        self, request: Request, response: Any, *args: Any, **kwargs: Any
    ) -> Any:
        answer = super().finalize_response(request, response, *args, **kwargs)
        answer["Tus-Resumable"] = tus.VERSION
        if answer.status_code == tus.OtherVersion.status:
            answer["Tus-Version"] = tus.VERSION
        return answer

    def options(self, request: Any, *args: Any, **kwargs: Any) -> Response:
        """Say what of the protocol is understood."""
        return Response(status=204, headers=tus.ABOUT_THE_SERVER)


class PhotoUploadCreateApi(TusApi):
    @extend_schema(
        operation_id="photo_upload_create",
        request=None,
        parameters=[
            _header("Tus-Resumable"),
            _header("Upload-Length", int),
            _header("Upload-Metadata"),
        ],
        responses={201: None, **_REFUSALS, 409: ErrorOut},
    )
    def post(self, request: Request) -> Response:
        """Open the upload of a photo; asking again answers how far it is."""
        upload = uploads.create(
            actor=self.actor,
            announced=tus.announced(request.headers),
            now=timezone.now(),
        )
        location = reverse("api-photo-upload", args=[upload.id])
        return Response(status=201, headers=_headers(upload) | {"Location": location})


class PhotoUploadApi(TusApi):
    def head(self, request: Request, photo_id: UUID) -> Response:
        with bound(self.actor.firm.pk):
            upload = uploads.state(
                actor=self.actor, photo_id=photo_id, now=timezone.now()
            )
        length = {"Upload-Length": str(upload.size), "Cache-Control": "no-store"}
        return Response(status=200, headers=_headers(upload) | length)

    @extend_schema(
        operation_id="photo_upload_piece",
        request={tus.PIECE_TYPE: OpenApiTypes.BINARY},
        parameters=[
            _header("Tus-Resumable"),
            _header("Upload-Offset", int),
            _header("Upload-Checksum", required=False),
        ],
        responses={
            204: None,
            **_REFUSALS,
            **dict.fromkeys((409, 410, 411, 413, 415, 460), ErrorOut),
        },
    )
    def patch(self, request: Request, photo_id: UUID) -> Response:
        """Add a piece of at most 1 MiB; the last one stores the photo."""
        tus.require_piece_type(request.headers)
        offset = tus.number(request.headers, "Upload-Offset")
        # Read in full before any lock: a slow or cut connection holds nothing up.
        piece = _body(request)
        tus.check_piece(request.headers, piece)
        upload = uploads.add(
            actor=self.actor,
            photo_id=photo_id,
            offset=offset,
            piece=piece,
            now=timezone.now(),
        )
        return Response(status=204, headers=_headers(upload))

    @extend_schema(
        operation_id="photo_upload_end",
        request=None,
        parameters=[_header("Tus-Resumable")],
        responses={204: None, **_REFUSALS, 409: ErrorOut, 410: ErrorOut},
    )
    def delete(self, request: Request, photo_id: UUID) -> Response:
        """Give up an unfinished upload."""
        uploads.end(actor=self.actor, photo_id=photo_id, now=timezone.now())
        return Response(status=204)


def _body(request: Request) -> bytes:
    length = body_length(request, tus.MAX_PIECE)
    body: bytes = request.body
    if len(body) != length:
        raise BadInput("The body was cut short on its way. Send the piece again.")
    return body


def _headers(upload: uploads.Upload) -> dict[str, str]:
    said = {"Upload-Offset": str(upload.offset)}
    if not upload.stored:
        said["Upload-Expires"] = http_date(upload.expires_at.timestamp())
    return said
