"""The rules as the device runs them: one versioned package."""

from functools import lru_cache
from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from findings.api.serializers import RulesOut
from findings.rules.loader import Ruleset
from findings.rules.package import package
from findings.selectors.rulings import rules_of
from firm.api.errors import ErrorOut
from firm.api.member import MemberApi


class RulesApi(MemberApi):
    @extend_schema(
        operation_id="rules_package",
        responses={200: RulesOut, 304: None, **dict.fromkeys((401, 403), ErrorOut)},
    )
    def get(self, request: Request) -> Response:
        """Give the firm's rules and tables; unchanged while the version is."""
        rules = rules_of(self.actor)
        etag = f'"{rules.version}"'
        # A firm's device asks again at each start: the same version sends nothing.
        headers = {"ETag": etag, "Cache-Control": "private, no-cache"}
        if request.headers.get("If-None-Match") == etag:
            return Response(status=304, headers=headers)
        return Response(_package(rules), headers=headers)


@lru_cache(maxsize=16)
def _package(rules: Ruleset) -> dict[str, Any]:
    return package(rules)
