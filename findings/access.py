"""Which findings, notes and renditions somebody may see or change."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404

from findings.imaging.marks import marks_of, unmarked
from findings.models import (
    Finding,
    PassageImport,
    PassageVersion,
    PhotoPreview,
    Rendition,
    ReviewCover,
    ReviewNote,
    RuleRuling,
    SubstanceChange,
)
from findings.rules.loader import ruleset
from findings.rules.own import PREFIX
from findings.wording.passages import library
from firm import canonical
from firm.actor import Actor
from firm.errors import NotAllowed
from inspections.access import contents_to_read, visible_contents, visible_visits
from inspections.models import Hold, Interest, Visit
from inspections.selectors.folded import folded


def finding_to_read(actor: Actor, finding_id: UUID) -> Finding:
    finding = (
        Finding.objects.select_related(
            "visit__property", "visit__inspector", "words", "author"
        )
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
    """Return a change of substance for the visit's inspector, who alone answers it."""
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


def finding_noted(actor: Actor, visit: Visit, about: str) -> Finding | None:
    """Return the finding that a note names, None where it names something else."""
    kind, _, key = about.partition(":")
    if kind != "finding":
        return None
    rows = Finding.objects.filter(firm=actor.firm, visit=visit)
    return next((row for row in rows if str(row.pk) == key), None)


def visit_to_sign(actor: Actor, visit_id: UUID) -> Visit:
    """Return a visit for its own inspector to sign; others of the firm may not."""
    visit = contents_to_read(actor, visit_id)
    if visit.inspector_id != actor.member_id:
        raise NotAllowed("The inspector who was there signs.")
    return visit


def visit_to_stand_in(actor: Actor, visit_id: UUID) -> Visit:
    """Return a visit whose signature somebody else may give for its inspector."""
    visit = contents_to_read(actor, visit_id)
    actor.require("visits.stand_in")
    if visit.inspector_id == actor.member_id:
        raise NotAllowed("Sign as yourself; nobody stands in for themselves.")
    return visit


def rendition_to_read(actor: Actor, photo_id: UUID, size: str) -> Rendition:
    """Return the newest copy of a photo of a visit whose contents one may read."""
    copy: Rendition | None = (
        Rendition.objects.filter(
            firm=actor.firm,
            photo=photo_id,
            size=size,
            photo__visit__in=visible_contents(actor).values("pk"),
        )
        .order_by("-made_at", "-pk")
        .first()
    )
    if copy is None:
        raise Http404
    return copy


def unmarked_to_read(actor: Actor, photo_id: UUID, size: str) -> Rendition:
    """Return the copy without what was drawn on a photo, blurs left in."""
    own = Rendition.objects.select_related("photo__visit").filter(
        firm=actor.firm,
        photo=photo_id,
        size=size,
        photo__visit__in=visible_contents(actor).values("pk"),
    )
    first = own.first()
    if first is None:
        raise Http404
    records, _ = folded(actor, first.photo.visit)
    digest = canonical.digest(unmarked(marks_of(records, str(photo_id))))
    copy = own.filter(marks_sha256=digest).first()
    if copy is None:
        raise Http404
    return copy


def preview_to_read(actor: Actor, photo_id: UUID) -> PhotoPreview:
    """Return a phone's preview of a photo of a visit whose contents one may read."""
    row: PhotoPreview | None = PhotoPreview.objects.filter(
        firm=actor.firm,
        pk=photo_id,
        visit__in=visible_contents(actor).values("pk"),
    ).first()
    if row is None:
        raise Http404
    return row


def interest_to_tell(actor: Actor, interest_id: UUID) -> Interest:
    row = (
        Interest.objects.select_related("visit__property", "visit__inspector")
        .filter(
            firm=actor.firm,
            pk=interest_id,
            visit__in=visible_visits(actor).values("pk"),
        )
        .first()
    )
    if row is None:
        raise Http404
    return row


def hold_to_end(actor: Actor, hold_id: UUID) -> Hold:
    row = (
        Hold.objects.select_related("visit__property", "visit__inspector")
        .filter(
            firm=actor.firm, pk=hold_id, visit__in=visible_visits(actor).values("pk")
        )
        .first()
    )
    if row is None:
        raise Http404
    return row


def rule_to_read(actor: Actor, name: str) -> str:
    """Return a rule's id where the book or the firm has it. Raises Http404."""
    actor.require("rules.read")
    if name in ruleset().rules:
        return name
    if not RuleRuling.objects.filter(firm=actor.firm, rule=name, kind="OWN").exists():
        raise Http404
    return name


def own_rule(actor: Actor, rule: str) -> str:
    """Return the name of a rule that the firm wrote. Raises Http404 for another."""
    if not rule_to_read(actor, rule).startswith(PREFIX):
        raise Http404
    return rule.removeprefix(PREFIX)


def cover_to_end(actor: Actor, cover_id: UUID) -> ReviewCover:
    actor.require("words.review")
    row = (
        ReviewCover.objects.select_related("away", "by")
        .filter(firm=actor.firm, pk=cover_id)
        .first()
    )
    if row is None:
        raise Http404
    return row


def passage_to_read(actor: Actor, key: str) -> str:
    """Return a passage's key where the starter or the firm has it. Raises Http404."""
    actor.require("passages.read")
    if key in library():
        return key
    if not PassageVersion.objects.filter(firm=actor.firm, key=key).exists():
        raise Http404
    return key


def import_to_read(actor: Actor, brought_id: UUID) -> PassageImport:
    """Return a file of passages that the firm brought. Raises Http404."""
    actor.require("passages.approve")
    row: PassageImport | None = (
        PassageImport.objects.select_related("brought_by")
        .filter(firm=actor.firm, pk=brought_id)
        .first()
    )
    if row is None:
        raise Http404
    return row
