"""What the inspector signs: only what changed since hand-in stands open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django.urls import reverse

from findings.models import Finding, Revision, SignOff, SubstanceChange
from findings.selectors import objections, review_notes, review_words
from findings.selectors.contents import content_digest
from findings.selectors.evaluation import Evaluation, evaluate
from findings.selectors.reading_order import Numbered, in_reading_order
from findings.selectors.review_pages import SignFindingRow, SignPage
from findings.selectors.review_visit import level
from findings.selectors.signers import licence_to_sign
from firm.actor import Actor
from firm.models import Licence
from inspections.models import Visit
from inspections.selectors.heads import visit_head
from inspections.selectors.words import moment

SIGNED = {Visit.Status.SIGNED, Visit.Status.RELEASED}


def sign_page(
    actor: Actor, visit: Visit, now: datetime, *, stand_in: bool = False
) -> SignPage:
    """Return the page; queries do not grow with the findings.

    A stand-in reads the same differences and signs with a licence of their own.
    """
    seen = evaluate(actor, visit)
    findings = _findings(actor, visit)
    offs = _sign_offs(actor, visit)
    who = actor.membership if stand_in else visit.inspector
    licence, no_licence = licence_to_sign(actor, visit, now, who)
    address = "visit-stand-in" if stand_in else "visit-sign"
    is_signed = visit.status in SIGNED and not objections.signed_before(actor, visit)
    against = (
        [] if is_signed else [*objections.to_sign(actor, visit, seen), *no_licence]
    )
    notes = review_notes.notes_of(actor, visit)
    names = review_notes.names_of_things(seen.pack, seen.records, findings)
    arrived, left = _times(visit, seen)
    rows = _rows(actor, visit, in_reading_order(seen.records, findings))
    return SignPage(
        head=visit_head(actor, visit, address),
        instead_of=visit.inspector.name if stand_in else "",
        findings=tuple(row for row in rows if _stands_open(row)),
        unchanged=tuple(row for row in rows if not _stands_open(row)),
        checked_by=_checked_by(visit, offs),
        licence=_licence_words(licence),
        arrived=arrived,
        left=left,
        stands_against=tuple(against),
        notes=review_notes.note_rows(actor, visit, notes, names, "sign"),
        sign_url=""
        if is_signed
        else reverse(address, args=[actor.firm.slug, visit.pk]),
        signed=_signed(visit, offs) if is_signed else "",
        digest=content_digest(actor, visit),
        loaded_at=now,
    )


def _findings(actor: Actor, visit: Visit) -> list[Finding]:
    return list(
        Finding.objects.filter(firm=actor.firm, visit=visit)
        .exclude(state=Finding.State.WITHDRAWN)
        .select_related("words")
        .order_by("source_key")
    )


def _sign_offs(actor: Actor, visit: Visit) -> dict[str, SignOff]:
    rows = SignOff.objects.filter(
        firm=actor.firm, visit=visit, undone_at__isnull=True
    ).select_related("membership", "standing_in_for")
    return {row.kind: row for row in rows}


def _rows(
    actor: Actor, visit: Visit, numbered: Sequence[Numbered]
) -> tuple[SignFindingRow, ...]:
    changes = review_notes.changes_of(actor, visit)
    revisions: dict[Any, list[Revision]] = {}
    for one in Revision.objects.filter(firm=actor.firm, finding__visit=visit).order_by(
        "finding_id", "number"
    ):
        revisions.setdefault(one.finding_id, []).append(one)
    return tuple(_row(actor, visit, one, revisions, changes) for one in numbered)


def _row(
    actor: Actor,
    visit: Visit,
    one: Numbered,
    revisions: Mapping[Any, Sequence[Revision]],
    changes: Mapping[Any, Sequence[SubstanceChange]],
) -> SignFindingRow:
    row = one.row
    asked = changes.get(row.pk, ())
    parts = review_words.part_rows(
        objections.words_of(row),
        review_words.handed_in_words(visit, revisions.get(row.pk, [])),
    )
    accepted = any(change.answer == SubstanceChange.Answer.YES for change in asked)
    return SignFindingRow(
        number=one.number,
        title=objections.title_of(row),
        level=level(visit, row),
        parts=parts,
        places=review_words.places_said(row.places),
        changes=review_notes.change_rows(actor, visit, asked, "sign"),
        changed=accepted or any(part.changed for part in parts),
    )


def _stands_open(row: SignFindingRow) -> bool:
    return row.changed or bool(row.changes)


def _checked_by(visit: Visit, offs: Mapping[str, SignOff]) -> str:
    off = offs.get(SignOff.Kind.WORDS_CHECKED)
    if off is None:
        return "The words are not checked yet."
    name = off.membership.name
    if off.membership_id == visit.inspector_id:
        return f"Words checked by {name}, who visited too."
    return f"Words checked by {name}, who did not visit."


def _licence_words(licence: Licence | None) -> str:
    if licence is None:
        return ""
    until = licence.expires_on
    return (
        f"Home inspector license {licence.state} {licence.number}, "
        f"until {until:%A} {until.day} {until:%B %Y}"
    )


def _signed(visit: Visit, offs: Mapping[str, SignOff]) -> str:
    off = offs.get(SignOff.Kind.SIGNED)
    if off is None:
        return str(visit.get_status_display())
    when = moment(off.made_at, visit.property.time_zone)
    if off.standing_in_for is None:
        return f"Signed by {off.membership.name}, {when}."
    return (
        f"Signed by {off.membership.name} in place of {off.standing_in_for.name}, "
        f"{when}, because: {off.stand_in_because}"
    )


def _times(visit: Visit, seen: Evaluation) -> tuple[str, str]:
    """Return arrival and leaving as recorded; leaving is else the last closed stop."""
    own = seen.records.get(str(visit.pk), {})
    closed = [
        str(r["closed_at"]) for _, r in seen.of_kind("stop") if r.get("closed_at")
    ]
    left = own.get("left_at") or max(closed, default="")
    zone = visit.property.time_zone
    return _clock(own.get("arrived_at"), zone), _clock(left, zone)


def _clock(value: object, zone: str) -> str:
    try:
        at = datetime.fromisoformat(str(value))
    except ValueError:
        return ""
    if at.tzinfo is None:
        return ""
    return review_words.clock(at, zone)
