"""One shape for every error the API answers."""

from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404
from rest_framework import exceptions, serializers
from rest_framework.response import Response

from firm.errors import Refusal


class ErrorOut(serializers.Serializer[Any]):
    """What went wrong, in words, with the field where there is one."""

    code = serializers.CharField()
    message = serializers.CharField()
    field = serializers.CharField(allow_null=True)
    details = serializers.ListField(child=serializers.CharField())


def answer(error: Exception, _context: dict[str, Any]) -> Response | None:
    """Turn what was raised into {code, message, field, details}."""
    if isinstance(error, Refusal):
        return _response(
            error.status, error.code, error.message, error.field, error.details
        )
    if isinstance(error, Http404):
        return _response(404, "not-found", "There is nothing here.")
    if isinstance(error, PermissionDenied):
        return _response(403, "forbidden", "This is not allowed.")
    if isinstance(error, exceptions.ValidationError):
        return _validation(error)
    if isinstance(error, exceptions.APIException):
        code = error.get_codes()
        response = _response(
            error.status_code,
            code if isinstance(code, str) else "refused",
            str(error.detail),
        )
        if header := getattr(error, "auth_header", None):
            response["WWW-Authenticate"] = header
        if (wait := getattr(error, "wait", None)) is not None:
            response["Retry-After"] = str(int(wait) + 1)
        return response
    return None


def _validation(error: exceptions.ValidationError) -> Response:
    flat = [(path, text) for path, text in _flatten(error.detail, "")]
    field, message = flat[0] if flat else ("", "The request cannot be used.")
    return _response(
        400,
        "bad-input",
        f"{field}: {message}" if field else message,
        field or None,
        [f"{path}: {text}" if path else text for path, text in flat],
    )


def _flatten(detail: Any, path: str) -> list[tuple[str, str]]:
    if isinstance(detail, dict):
        return [
            found
            for key, value in detail.items()
            for found in _flatten(value, f"{path}.{key}" if path else str(key))
        ]
    if isinstance(detail, list):
        return [found for value in detail for found in _flatten(value, path)]
    return [(path, str(detail))]


def _response(
    status: int,
    code: str,
    message: str,
    field: str | None = None,
    details: list[str] | None = None,
) -> Response:
    body = {"code": code, "message": message, "field": field, "details": details or []}
    return Response(body, status=status)
