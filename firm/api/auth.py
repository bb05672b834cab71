"""How a caller of the API is known: the session cookie and the CSRF header."""

from __future__ import annotations

from typing import Any

from drf_spectacular.extensions import OpenApiAuthenticationExtension
from rest_framework import exceptions
from rest_framework.authentication import SessionAuthentication as PlainSession
from rest_framework.request import Request


class CsrfFailed(exceptions.PermissionDenied):
    """The token is missing or stale: fetch /api/session and try once more."""

    default_code = "csrf"


class SessionAuthentication(PlainSession):
    """Session cookie and CSRF header; answers 401, not 403, to the signed-out."""

    def authenticate_header(self, request: Request) -> str:
        return "Session"

    def enforce_csrf(self, request: Any) -> None:
        try:
            super().enforce_csrf(request)
        except exceptions.PermissionDenied as failed:
            raise CsrfFailed(str(failed.detail)) from failed


class SessionScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    target_class = "firm.api.auth.SessionAuthentication"
    name = "session"

    def get_security_definition(self, auto_schema: Any) -> dict[str, str]:
        from django.conf import settings  # noqa: PLC0415

        return {"type": "apiKey", "in": "cookie", "name": settings.SESSION_COOKIE_NAME}
