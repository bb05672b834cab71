"""How the signing of an agreement stands against what a state asks of it."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal, TypeAlias
from zoneinfo import ZoneInfo

from findings.standards.due import add_business_days
from findings.standards.schema_asks import Agreement, Asks

Step: TypeAlias = Literal["start", "payment"]


@dataclass(frozen=True, slots=True)
class Signing:
    """When the agreement went out and who signed when; None: not yet."""

    booked_at: datetime
    sent_at: datetime | None
    clients: tuple[datetime | None, ...]
    firm: datetime | None = None


def waits(asks: Asks, signing: Signing, step: Step) -> str:
    """Return why a step has to wait for a signature, empty when it need not.

    `start`: work at the house counts; `payment`: money is taken.
    """
    agreement = asks.agreement
    if agreement is None or agreement.before == "none":
        return ""
    if step == "payment" and agreement.before != "payment":
        return ""
    missing = _missing(agreement, signing)
    if not missing:
        return ""
    before = "money is taken" if step == "payment" else "work begins at the house"
    return f"In {asks.name} {missing} before {before}."


def _missing(agreement: Agreement, signing: Signing) -> str:
    signed = [at for at in signing.clients if at is not None]
    every = len(signed) == len(signing.clients) and bool(signed)
    if agreement.signed_by == "client_and_firm":
        return "" if every and signing.firm else "the client and the firm both sign"
    if agreement.signed_by == "one_client":
        return "" if signed else "a client signs the agreement"
    return "" if every else "every client signs the agreement"


def signed_late(asks: Asks, signing: Signing, began_at: datetime | None) -> bool:
    """Say whether somebody signed only after the work at the house had begun."""
    agreement = asks.agreement
    if agreement is None or agreement.before == "none" or began_at is None:
        return False
    return any(at is not None and at > began_at for at in signing.clients)


def send_by(asks: Asks, signing: Signing, zone: str) -> date | None:
    """Return the last day on which the agreement has to go out, if there is one."""
    agreement = asks.agreement
    if agreement is None or agreement.send_within is None:
        return None
    booked = signing.booked_at.astimezone(ZoneInfo(zone)).date()
    return add_business_days(booked, agreement.send_within.business_days, asks.state)
