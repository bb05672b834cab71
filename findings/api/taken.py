"""What a phone fetches before it leaves the signal: the firm's book and each visit."""

from typing import Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from findings.selectors.field.book import book_of
from findings.selectors.field.taken import package_of
from firm.api.errors import ErrorOut
from firm.api.member import MemberApi
from inspections.access import contents_to_read


def _by_digest(request: Request, made: dict[str, Any]) -> Response:
    """Send nothing where the phone holds the same already."""
    headers = {"ETag": f'"{made["digest"]}"', "Cache-Control": "private, no-cache"}
    if request.headers.get("If-None-Match") == headers["ETag"]:
        return Response(status=304, headers=headers)
    return Response(made, headers=headers)


class BookApi(MemberApi):
    @extend_schema(
        operation_id="book_read",
        responses={
            200: OpenApiTypes.OBJECT,
            304: None,
            **dict.fromkeys((401, 403), ErrorOut),
        },
    )
    def get(self, request: Request) -> Response:
        """Give the firm's rules, words, forms and standards, known by their digest."""
        return _by_digest(request, book_of(self.actor))


class VisitPackageApi(MemberApi):
    @extend_schema(
        operation_id="visit_package_read",
        responses={
            200: OpenApiTypes.OBJECT,
            304: None,
            **dict.fromkeys((401, 403, 404), ErrorOut),
        },
    )
    def get(self, request: Request, visit_id: UUID) -> Response:
        """Give what one visit needs beside the book, known by its digest."""
        visit = contents_to_read(self.actor, visit_id)
        return _by_digest(request, package_of(self.actor, visit))
