"""The rules as the device runs them: one versioned package."""

from functools import cache
from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from findings.api.serializers import RulesOut
from findings.rules.loader import ruleset
from findings.rules.package import package
from firm.api.errors import ErrorOut
from firm.api.member import MemberApi


class RulesApi(MemberApi):
    @extend_schema(
        operation_id="rules_package",
        responses={200: RulesOut, 304: None, **dict.fromkeys((401, 403), ErrorOut)},
    )
    def get(self, request: Request) -> Response:
        """Give every rule and table as arrays; unchanged while the version is."""
        etag = f'"{ruleset().version}"'
        # A firm's device asks again at each start: the same version sends nothing.
        headers = {"ETag": etag, "Cache-Control": "private, no-cache"}
        if request.headers.get("If-None-Match") == etag:
            return Response(status=304, headers=headers)
        return Response(_package(), headers=headers)


@cache
def _package() -> dict[str, Any]:
    return package(ruleset())
