"""Interests of the firm in a visit, and the gates that a state sets before them."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeAlias

from findings.standards.retention import years_after
from findings.standards.schema_asks import Asks, Conflict

Kind: TypeAlias = Literal["tie", "second_payer", "referral_pay", "repair", "other"]


@dataclass(frozen=True, slots=True)
class Interest:
    """A tie to a party, a second payer, or work for pay at an inspected house."""

    kind: Kind
    text: str
    told_on: date | None = None  # in writing, to every client
    consented: bool = False  # in writing, by everybody concerned


def _gates(asks: Asks, gate: str) -> Iterator[Conflict]:
    return (one for one in asks.conflicts if one.gate == gate)


def before_signing(asks: Asks, interests: Iterable[Interest]) -> list[str]:
    """Return what has to be told in writing before the client signs."""
    if not any(True for _ in _gates(asks, "disclose_before_signing")):
        return []
    return [
        f"Tell the client in writing before they sign: {one.text}"
        for one in interests
        if one.kind != "repair" and one.told_on is None
    ]


def second_payers(asks: Asks, interests: Iterable[Interest]) -> list[str]:
    """Return what a second payer still needs: to be told, or everybody's consent."""
    found = []
    payers = [one for one in interests if one.kind == "second_payer"]
    for rule in _gates(asks, "second_payer"):
        for payer in payers:
            if rule.consent == "written" and not payer.consented:
                found.append(
                    f"{asks.name} wants the written consent of all before a second "
                    f"party pays: {payer.text}"
                )
            elif rule.consent != "written" and payer.told_on is None:
                found.append(
                    f"{asks.name} wants the client told in writing that a second "
                    f"party pays: {payer.text}"
                )
    return found


def repairs_barred_until(asks: Asks, inspected_on: date) -> date | None:
    """Return until when nobody of the firm may repair there for pay, if at all."""
    years = max((one.years for one in _gates(asks, "repair_ban")), default=0)
    return years_after(inspected_on, years) if years else None


def repair_objection(asks: Asks, *, inspected_on: date, work_on: date) -> str:
    """Return why work for pay at an inspected house is refused, empty if it is not."""
    until = repairs_barred_until(asks, inspected_on)
    if until is None or not inspected_on <= work_on < until:
        return ""
    return (
        f"In {asks.name} nobody of the firm or its affiliates may repair, replace or "
        "upgrade for pay what was inspected, "
        f"until {until:%B} {until.day}, {until.year}."
    )
