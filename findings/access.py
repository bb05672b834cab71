"""Which findings, notes and renditions somebody may see or change."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404

from findings.models import Finding, ReviewNote, SubstanceChange
from firm.actor import Actor
from inspections.access import visible_contents


def finding_to_read(actor: Actor, finding_id: UUID) -> Finding:
    finding = (
        Finding.objects.select_related("visit__property", "words", "author")
        .filter(
            firm=actor.firm,
            pk=finding_id,
            visit__in=visible_contents(actor).values("pk"),
        )
        .first()
    )
    if finding is None:
        raise Http404
    return finding


def note_to_settle(actor: Actor, note_id: UUID) -> ReviewNote:
    note = (
        ReviewNote.objects.select_related("visit")
        .filter(
            firm=actor.firm, pk=note_id, visit__in=visible_contents(actor).values("pk")
        )
        .first()
    )
    if note is None:
        raise Http404
    return note


def change_to_answer(actor: Actor, change_id: UUID) -> SubstanceChange:
    """A change of substance is answered by the visit's inspector alone."""
    change = (
        SubstanceChange.objects.select_related("finding__visit", "finding__words")
        .filter(
            firm=actor.firm,
            pk=change_id,
            finding__visit__inspector_id=actor.member_id,
        )
        .first()
    )
    if change is None:
        raise Http404
    return change
