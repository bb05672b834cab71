"""Rows of the page with what the state asks of one visit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.urls import reverse

from findings.selectors.evaluation import checked_lines, evaluate, property_facts
from findings.selectors.side_by_side import House, rows, sides
from findings.selectors.visit_asks import AskLine, interests_of, lines
from findings.standards import loader
from findings.standards.loader import pack
from firm.actor import Actor
from inspections.access import may_see_contents
from inspections.models import Hold, Interest, Visit
from inspections.selectors.heads import visit_head
from inspections.selectors.rows import VisitHead
from inspections.selectors.words import moment


@dataclass(frozen=True, slots=True)
class InterestRow:
    id: UUID
    kind: str
    text: str
    state: str
    told_url: str = ""


@dataclass(frozen=True, slots=True)
class HoldRow:
    text: str
    end_url: str = ""


@dataclass(frozen=True, slots=True)
class AsksPage:
    """What the state asks of a visit, and what can be recorded for it."""

    head: VisitHead
    state: str
    lines: tuple[AskLine, ...]
    interests: tuple[InterestRow, ...]
    holds: tuple[HoldRow, ...]
    paid: str
    interest_url: str
    paid_url: str = ""
    hold_url: str = ""
    states_url: str = ""


def page(actor: Actor, visit: Visit) -> AsksPage:
    """Return the page; queries do not grow with what was recorded."""
    held = Hold.objects.filter(firm=actor.firm, visit=visit).order_by("placed_at")
    holds = list(held.select_related("placed_by"))
    standing = any(row.ended_at is None for row in holds)
    slug = actor.firm.slug
    zone = visit.property.time_zone
    may_hold = actor.can("visits.hold")
    may_book = actor.can("visits.book")
    return AsksPage(
        head=visit_head(actor, visit, "visit-asks"),
        state=pack(visit.pack).name,
        lines=tuple(lines(actor, visit, delivered_at=None)),
        interests=tuple(
            _interest(actor, one, zone) for one in interests_of(actor, visit)
        ),
        holds=tuple(_hold(actor, one, zone) for one in holds),
        paid=_day(visit.paid_at, zone),
        interest_url=reverse("interest-add", args=[slug, visit.pk]) if may_book else "",
        paid_url=reverse("payment-add", args=[slug, visit.pk]) if may_book else "",
        hold_url=reverse("hold-place", args=[slug, visit.pk])
        if may_hold and not standing
        else "",
        states_url=reverse("visit-states", args=[slug, visit.pk])
        if may_see_contents(actor, visit)
        else "",
    )


@dataclass(frozen=True, slots=True)
class CompareRow:
    """One matter, and each state's name with what it makes of it."""

    label: str
    cells: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class StatesPage:
    """One visit under several states' standards."""

    head: VisitHead
    own: str
    states: tuple[str, ...]
    rows: tuple[CompareRow, ...]


def states_page(actor: Actor, visit: Visit) -> StatesPage:
    """Return the comparison; nothing is stored, nothing else changes."""
    seen = evaluate(actor, visit)
    house = House(
        records=seen.records,
        conflicts=seen.conflicts,
        facts=property_facts(visit, seen.records),
        rules=seen.rules,
        ticked=checked_lines(actor),
        scope=seen.scope,
    )
    found = sides(house, loader.readable())
    names = tuple(one.pack.name for one in found)
    return StatesPage(
        head=visit_head(actor, visit, "visit-asks"),
        own=seen.pack.name,
        states=names,
        rows=tuple(
            CompareRow(row.label, tuple(zip(names, row.cells, strict=True)))
            for row in rows(house, found)
        ),
    )


def _interest(actor: Actor, row: Interest, zone: str) -> InterestRow:
    told = f"told {moment(row.told_at, zone)}, {row.told_how}" if row.told_at else ""
    agreed = f"all agreed, {row.consent_how}" if row.consent_at else ""
    open_still = not row.told_at or not row.consent_at
    url = reverse("interest-told", args=[actor.firm.slug, row.pk])
    return InterestRow(
        id=row.pk,
        kind=row.get_kind_display(),
        text=row.text,
        state="; ".join(filter(None, [told, agreed])) or "not told in writing yet",
        told_url=url if open_still and actor.can("visits.book") else "",
    )


def _hold(actor: Actor, row: Hold, zone: str) -> HoldRow:
    placed = (
        f"{row.because}. Placed {moment(row.placed_at, zone)}, {row.placed_by.name}"
    )
    if row.ended_at:
        ended = f"ended {moment(row.ended_at, zone)}: {row.ended_because}"
        return HoldRow(f"{placed}; {ended}")
    url = reverse("hold-end", args=[actor.firm.slug, row.pk])
    return HoldRow(placed, url if actor.can("visits.hold") else "")


def _day(at: datetime | None, zone: str) -> str:
    return moment(at, zone).rsplit(",", 1)[0] if at else ""
