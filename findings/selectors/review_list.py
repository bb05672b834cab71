"""Visits whose words wait to be checked, the earliest promise first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from django.db.models import Count, F, Q
from django.urls import reverse

from findings.models import Finding, ReviewNote, SubstanceChange
from findings.selectors.objections import WAITING, others_could_read
from findings.selectors.review_pages import ReviewListPage, ReviewVisitRow
from findings.selectors.visit_asks import promised, promised_words
from firm.actor import Actor
from inspections.access import visible_contents
from inspections.models import Visit

Status = Visit.Status
State = Finding.State
NEVER = datetime.max.replace(tzinfo=UTC)
IN_REVIEW = (Status.HANDED_IN, Status.WORDS_CHECKED)


@dataclass(frozen=True, slots=True)
class Counts:
    """How far the findings of one visit are."""

    checked: int = 0
    returned: int = 0
    total: int = 0
    notes: int = 0
    changes: int = 0


def list_page(actor: Actor) -> ReviewListPage:
    """Return the page; the number of queries does not grow with the visits."""
    visits = list(
        visible_contents(actor)
        .filter(status__in=IN_REVIEW)
        .select_related("property", "inspector")
    )
    counts = _counts(actor, visits)
    alone = not others_could_read(actor)
    ordered = sorted(visits, key=lambda visit: promised(visit).at or NEVER)
    rows = [
        (_away(visit, counts[visit.pk]), _row(actor, visit, counts[visit.pk], alone))
        for visit in ordered
    ]
    return ReviewListPage(
        waiting=tuple(row for away, row in rows if not away),
        with_inspector=tuple(row for away, row in rows if away),
    )


def _away(visit: Visit, counts: Counts) -> bool:
    """Say whether nothing can be done here until the inspector has answered."""
    if visit.status == Status.WORDS_CHECKED:
        return True
    return counts.returned > 0 and counts.checked + counts.returned == counts.total


def _row(actor: Actor, visit: Visit, counts: Counts, alone: bool) -> ReviewVisitRow:  # noqa: FBT001
    own = visit.inspector_id == actor.member_id and not alone
    return ReviewVisitRow(
        url=reverse("review-read", args=[actor.firm.slug, visit.pk]),
        address=visit.property.street,
        town=visit.property.city,
        inspector=visit.inspector.name,
        promised=promised_words(visit),
        state=_state(visit, counts),
        note=", ".join(_notes(counts, own=own)),
    )


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
