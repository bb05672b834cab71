"""Bases of the phone's operations."""

from typing import Any, Final

from rest_framework.views import APIView

from firm.api.member import MemberApi
from firm.errors import BadInput, Refusal


class TooLarge(Refusal):
    """More was sent at once than is taken; send it in smaller parts."""

    code = "too-large"
    status = 413


class LengthMissing(Refusal):
    """The size of a body has to be said before it is read."""

    code = "length-required"
    status = 411


class OwnTransactionsApi(MemberApi):
    """An operation that commits by itself; there is no outer transaction to undo."""

    own_transactions = True
    handle_exception: Any = APIView.handle_exception


MAX_PAGE: Final = 1000


def body_length(request: Any, most: int) -> int:
    """Return the announced length of the body; raises LengthMissing and TooLarge."""
    text = request.META.get("CONTENT_LENGTH") or ""
    if not text.isdecimal():
        raise LengthMissing("Send the Content-Length of the body.")
    if int(text) > most:
        raise TooLarge(f"At most {most} bytes are taken at once.")
    return int(text)


def number_in(query: Any, name: str, default: int, least: int, most: int) -> int:
    """Read a whole number of the query string; raises BadInput outside its limits."""
    text = query.get(name, str(default))
    if not (text.isascii() and text.isdecimal()) or not least <= int(text) <= most:
        raise BadInput(
            f"{name}: must be a whole number from {least} to {most}.", field=name
        )
    return int(text)
