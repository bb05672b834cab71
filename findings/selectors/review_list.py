"""Visits whose words wait to be checked, the earliest promise first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from django.db.models import Count, F, Q
from django.urls import reverse

from findings.models import Finding, ReviewNote, SubstanceChange
from findings.selectors.objections import WAITING, others_could_read
from findings.selectors.review_pages import ReviewListPage, ReviewVisitRow
from findings.selectors.sittings import open_by_others
from findings.selectors.turns import FREE, Turn, turns
from findings.selectors.visit_asks import promised, promised_words
from firm.actor import Actor
from inspections.access import visible_contents
from inspections.models import Visit
from inspections.selectors.words import moment

Status = Visit.Status
State = Finding.State
NEVER = datetime.max.replace(tzinfo=UTC)
HOUR = timedelta(hours=1)
NEAR = timedelta(hours=6)
IN_REVIEW = (Status.HANDED_IN, Status.WORDS_CHECKED)


@dataclass(frozen=True, slots=True)
class Counts:
    """How far the findings of one visit are."""

    checked: int = 0
    returned: int = 0
    total: int = 0
    notes: int = 0
    changes: int = 0


@dataclass(frozen=True, slots=True)
class Around:
    """What is asked once for all visits of the list."""

    now: datetime
    counts: Mapping[Any, Counts]
    turns: Mapping[Any, Turn]
    open_by: Mapping[Any, str]
    alone: bool


def list_page(actor: Actor, now: datetime) -> ReviewListPage:
    """Return the page; the number of queries does not grow with the visits."""
    visits = list(
        visible_contents(actor)
        .filter(status__in=IN_REVIEW)
        .select_related("property", "inspector")
    )
    around = Around(
        now=now,
        counts=_counts(actor, visits),
        turns=turns(actor, visits, now),
        open_by=open_by_others(actor, visits, now),
        alone=not others_could_read(actor),
    )
    parts: dict[str, list[ReviewVisitRow]] = {}
    for visit in sorted(visits, key=lambda visit: promised(visit).at or NEVER):
        part = _part(actor, visit, around)
        parts.setdefault(part, []).append(_row(actor, visit, around))
    return ReviewListPage(
        waiting=tuple(parts.get("waiting", ())),
        with_others=tuple(parts.get("others", ())),
        with_inspector=tuple(parts.get("away", ())),
        how_url=reverse("review-how", args=[actor.firm.slug]),
    )


def _part(actor: Actor, visit: Visit, around: Around) -> str:
    """Say in which part of the list a visit stands."""
    if _away(visit, around.counts[visit.pk]):
        return "away"
    reader = around.turns.get(visit.pk, FREE).reader
    return "waiting" if reader in (None, actor.member_id) else "others"


def _away(visit: Visit, counts: Counts) -> bool:
    """Say whether nothing can be done here until the inspector has answered."""
    if visit.status == Status.WORDS_CHECKED:
        return True
    return counts.returned > 0 and counts.checked + counts.returned == counts.total


def _row(actor: Actor, visit: Visit, around: Around) -> ReviewVisitRow:
    counts = around.counts[visit.pk]
    own = visit.inspector_id == actor.member_id and not around.alone
    due = promised(visit)
    notes = [*_people(visit, around), *_notes(counts, own=own)]
    return ReviewVisitRow(
        url=reverse("review-read", args=[actor.firm.slug, visit.pk]),
        address=visit.property.street,
        town=visit.property.city,
        inspector=visit.inspector.name,
        promised=promised_words(visit),
        state=_state(visit, counts),
        note=", ".join(notes),
        later=tuple(
            f"{moment(line.at, visit.property.time_zone)}: {line.says}"
            for line in due.lines[1:]
        ),
        presses=_presses(due.at, around.now),
    )


def _people(visit: Visit, around: Around) -> Iterable[str]:
    if said := around.turns.get(visit.pk, FREE).words:
        yield said
    if names := around.open_by.get(visit.pk, ""):
        yield f"open just now by {names}"


def _presses(at: datetime | None, now: datetime) -> str:
    """Say when a promise is near or broken."""
    if at is None:
        return ""
    if at <= now:
        return "The promised time has passed."
    if at - now <= NEAR:
        return f"Less than {NEAR // HOUR} hours are left."
    return ""


def _state(visit: Visit, counts: Counts) -> str:
    if visit.status == Status.WORDS_CHECKED:
        return "words checked, waits for the signature"
    if not counts.total:
        return "nothing was found"
    return f"{counts.checked} of {counts.total} findings checked"


def _notes(counts: Counts, *, own: bool) -> Iterable[str]:
    if counts.returned:
        yield f"{counts.returned} back with the inspector"
    if counts.changes:
        noun = "change waits" if counts.changes == 1 else "changes wait"
        yield f"{counts.changes} {noun} for a yes"
    if counts.notes:
        yield f"{counts.notes} open {'note' if counts.notes == 1 else 'notes'}"
    if own:
        yield "your own visit: somebody else checks it"


def _counts(actor: Actor, visits: list[Visit]) -> dict[Any, Counts]:
    notes, changes = _open_notes(actor, visits), _open_changes(actor, visits)
    none = {"total": 0, "checked": 0, "returned": 0}
    found, counted = {}, _by_state(actor, visits)
    for visit in visits:
        row = counted.get(visit.pk, none)
        found[visit.pk] = Counts(
            checked=int(row["checked"]),
            returned=int(row["returned"]),
            total=int(row["total"]),
            notes=notes.get(visit.pk, 0),
            changes=changes.get(visit.pk, 0),
        )
    return found


def _by_state(actor: Actor, visits: list[Visit]) -> dict[Any, Mapping[str, Any]]:
    rows = (
        Finding.objects.filter(firm=actor.firm, visit__in=visits)
        .exclude(state=State.WITHDRAWN)
        .values("visit")
        .annotate(
            total=Count("pk"),
            checked=Count(
                "pk", filter=Q(state__in=[State.WORDS_CHECKED, State.SIGNED])
            ),
            returned=Count("pk", filter=Q(state=State.RETURNED)),
        )
    )
    return {row["visit"]: row for row in rows}


def _open_notes(actor: Actor, visits: list[Visit]) -> dict[Any, int]:
    rows = ReviewNote.objects.filter(
        firm=actor.firm, visit__in=visits, settled_at__isnull=True
    )
    counted = rows.values("visit").annotate(open=Count("pk"))
    return dict(counted.values_list("visit", "open"))


def _open_changes(actor: Actor, visits: list[Visit]) -> dict[Any, int]:
    rows = SubstanceChange.objects.filter(
        firm=actor.firm, finding__visit__in=visits, answer=WAITING
    )
    counted = rows.values(of=F("finding__visit")).annotate(open=Count("pk"))
    return dict(counted.values_list("of", "open"))
