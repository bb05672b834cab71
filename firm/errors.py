"""Refusals: what the product expects to go wrong and says so."""

from collections.abc import Sequence


class Refusal(Exception):
    """Something anticipated; its message says what to do and reaches the user."""

    code = "refused"
    status = 409

    def __init__(
        self, message: str, *, details: Sequence[str] = (), field: str | None = None
    ) -> None:
        super().__init__(message)
        self.message = message
        self.details = list(details)
        self.field = field


class NotAllowed(Refusal):
    """A member of the firm lacks the capability."""

    code = "not-allowed"
    status = 403


class BadInput(Refusal):
    """What was sent cannot be used; names the field."""

    code = "bad-input"
    status = 400
