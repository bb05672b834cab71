"""Findings that were taken out of a visit: still seen, with who and when."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from django.db.models import Prefetch

from findings.models import Finding, SubstanceChange
from firm.actor import Actor
from inspections.models import Visit
from inspections.selectors.rows import FactRow


def withdrawn(actor: Actor, visit: Visit) -> tuple[FactRow, ...]:
    """Return each with why it is not in the report; two queries."""
    agreed = SubstanceChange.objects.filter(
        field="withdrawn", answer=SubstanceChange.Answer.YES
    ).select_related("author")
    rows = (
        Finding.objects.filter(
            firm=actor.firm, visit=visit, state=Finding.State.WITHDRAWN
        )
        .select_related("author", "words")
        .prefetch_related(Prefetch("substance_changes", queryset=agreed))
        .order_by("created_at", "source_key")
    )
    return tuple(
        FactRow(_what(row), _by_whom(row, visit), ", ".join(map(str, row.places)))
        for row in rows
    )


def _what(row: Finding) -> str:
    told = str((row.proposal or {}).get("title") or "")
    return told or (row.words.seen if row.words else "") or row.item.replace("_", " ")


def _by_whom(row: Finding, visit: Visit) -> str:
    changes = sorted(row.substance_changes.all(), key=lambda one: one.pk)
    last = changes[-1] if changes else None
    if last is None or last.answered_at is None:
        return "it no longer follows from what was recorded or answered"
    at = last.answered_at.astimezone(ZoneInfo(visit.property.time_zone))
    clock = at.strftime("%I:%M %p").lstrip("0").lower()
    why = f": {last.reason}" if last.reason else ""
    own = last.author_id == visit.inspector_id
    asked = "" if own else f"asked by {last.author.name}, "
    when = f"{at.strftime('%B')} {at.day}, {clock}"
    return f"{asked}agreed by {visit.inspector.name} on {when}{why}"
