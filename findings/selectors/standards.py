"""How far the firm has checked each state's standard, and what is missing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from findings.models import DutyCheck, NoticeText
from findings.standards.schema import Pack
from findings.standards.schema_base import Sourced
from firm.actor import Actor
from firm.models import Licence, StandardInForce


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing that stands against switching a standard on."""

    code: str
    text: str
    line: str = ""


def whole(pack: Pack) -> str:
    """Return the name under which reading the whole of a version is recorded."""
    return f"{pack.pack}:v{pack.version}"


def in_force(actor: Actor, code: str) -> StandardInForce | None:
    """Return the firm's row for a standard that is on."""
    return (
        StandardInForce.objects.select_related("keeper", "checked_by")
        .filter(firm=actor.firm, pack=code, off_at__isnull=True)
        .first()
    )


def missing(actor: Actor, pack: Pack, today: date) -> list[Missing]:
    """Return all that stands against switching a standard on.

    The number of queries does not grow with what the standard holds.
    """
    checks = set(
        DutyCheck.objects.filter(firm=actor.firm).values_list("what", flat=True)
    )
    entered = set(
        NoticeText.objects.filter(firm=actor.firm, pack=pack.pack).values_list(
            "slot", flat=True
        )
    )
    return [
        *_licensed(actor, pack, today),
        *_recalled(pack, checks),
        *_notices(pack, entered),
        *_read(pack, checks),
    ]


def _licensed(actor: Actor, pack: Pack, today: date) -> Iterator[Missing]:
    held = Licence.objects.filter(
        firm=actor.firm,
        state=pack.state,
        valid_from__lte=today,
        expires_on__gte=today,
        membership__disabled_at__isnull=True,
    ).exists()
    if not held:
        yield Missing(
            "no-license", f"Nobody of the firm holds a {pack.name} license today."
        )


def _recalled(pack: Pack, checks: set[str]) -> Iterator[Missing]:
    for name, line in pack.lines().items():
        if line.source == "memory" and name not in checks:
            yield Missing(
                "not-read", f"From memory, to be read: {said(line, name)}", name
            )


def _notices(pack: Pack, entered: set[str]) -> Iterator[Missing]:
    for one in pack.notices:
        if one.id not in entered:
            yield Missing(
                "notice",
                f"Words fixed by law, to be copied from {one.fill_from}: {one.about}",
                one.id,
            )


def _read(pack: Pack, checks: set[str]) -> Iterator[Missing]:
    if whole(pack) not in checks:
        yield Missing(
            "not-read-whole",
            f"Nobody licensed has said that version {pack.version} was read whole.",
            whole(pack),
        )


def said(line: Sourced, name: str) -> str:
    """Return a line in words: what it is about and what it says."""
    about = str(getattr(line, "item", "") or getattr(line, "when", "") or "")
    about = about or name.partition(":")[2].replace("_", " ")
    says = ""
    for field in ("text", "must_say", "rule", "about", "note"):
        says = says or str(getattr(line, field, "") or "")
    said_of = f"{about}: {says}" if says and says != about else about or name
    return said_of[:1].upper() + said_of[1:]
