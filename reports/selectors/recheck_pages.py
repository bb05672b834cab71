"""Finished rows of a re-check's page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from firm.actor import Actor
from inspections.access import may_record
from inspections.models import PhotoFile, Visit
from inspections.selectors.folded import folded
from inspections.selectors.heads import visit_head
from inspections.selectors.rows import VisitHead
from reports.models import RecheckItem, Release


@dataclass(frozen=True, slots=True)
class Again:
    """One item: what it was, how it was found, how many photos show it now."""

    id: UUID
    title: str
    was: str
    outcome: str
    outcome_key: str
    words: str
    photos: int


@dataclass(frozen=True, slots=True)
class EarlierReport:
    """A released report of the same house, with its findings to choose from."""

    id: UUID
    title: str
    findings: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class RecheckPage:
    head: VisitHead
    items: tuple[Again, ...]
    earlier: tuple[EarlierReport, ...]
    may_choose: bool
    may_look: bool


def earlier_releases(actor: Actor, visit: Visit) -> list[Release]:
    """Return the newest issue of each earlier visit of the same house."""
    rows = (
        Release.objects.filter(
            firm=actor.firm,
            state=Release.State.RELEASED,
            visit__property__street__iexact=visit.property.street,
            visit__property__city__iexact=visit.property.city,
        )
        .exclude(visit=visit)
        .order_by("visit", "-issue")
        .distinct("visit")
    )
    return list(rows)


def page(
    actor: Actor, visit: Visit, named: Mapping[UUID, Mapping[str, tuple[str, str]]]
) -> RecheckPage:
    """Return the page; `named` holds each earlier report's findings in words."""
    items = RecheckItem.objects.filter(firm=actor.firm, visit=visit).order_by("number")
    stored = set(PhotoFile.objects.filter(visit=visit).values_list("pk", flat=True))
    about: dict[str, int] = {}
    for key, record in folded(actor, visit)[0].items():
        if record.get("kind") == "photo" and UUID(key) in stored:
            about[str(record.get("about"))] = about.get(str(record.get("about")), 0) + 1
    return RecheckPage(
        head=visit_head(actor, visit, "recheck-read"),
        items=tuple(
            _again(item, named.get(item.earlier_id, {}), about.get(str(item.pk), 0))
            for item in items
        ),
        earlier=tuple(_earlier(row, named) for row in earlier_releases(actor, visit)),
        may_choose=actor.can("visits.book"),
        may_look=may_record(actor, visit),
    )


def _again(
    item: RecheckItem, named: Mapping[str, tuple[str, str]], photos: int
) -> Again:
    title, was = named.get(item.finding, (f"Finding {item.number}", ""))
    label = RecheckItem.Outcome(item.outcome).label if item.outcome else ""
    return Again(item.pk, title, was, label, item.outcome, item.words, photos)


def _earlier(
    row: Release, named: Mapping[UUID, Mapping[str, tuple[str, str]]]
) -> EarlierReport:
    findings = tuple(
        (number, title)
        for number, (title, _) in enumerate(named.get(row.pk, {}).values(), 1)
    )
    return EarlierReport(row.pk, f"{row.number}, issue {row.issue}", findings)
