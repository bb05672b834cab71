"""Notes and changes of substance as rows, with who may answer them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django.urls import reverse

from findings.models import Finding, ReviewNote, SubstanceChange
from findings.selectors.objections import WAITING, title_of
from findings.selectors.review_pages import ChangeRow, NoteRow
from findings.selectors.review_words import ASKED
from findings.standards.loader import pack
from findings.standards.schema import Pack
from findings.wording import sentences
from firm.actor import Actor
from inspections.models import Visit
from inspections.selectors.folded import folded
from inspections.selectors.rows import PhotoRow
from inspections.selectors.words import moment

FIELDS = {
    "consequence": "What it does",
    "timing": "How soon",
    "trade": "Who puts it right",
    "places": "Where",
    "withdrawn": "Taken out of the report",
}
NO_MORE = {Visit.Status.RELEASED, Visit.Status.ABANDONED}


def notes_of(actor: Actor, visit: Visit, about: str = "") -> list[ReviewNote]:
    """Return the notes of a visit, or those about one thing, as they were written."""
    rows = ReviewNote.objects.filter(firm=actor.firm, visit=visit)
    if about:
        rows = rows.filter(about=about)
    return list(rows.select_related("author", "settled_by").order_by("made_at", "pk"))


def note_rows(
    actor: Actor,
    visit: Visit,
    notes: Iterable[ReviewNote],
    names: Mapping[str, str],
    page: str,
    photos: Mapping[str, PhotoRow] | None = None,
) -> tuple[NoteRow, ...]:
    """Return notes as rows; `page` is where an answer leads back to."""
    shown = photos or {}
    zone = visit.property.time_zone
    may = may_answer(actor, visit)
    return tuple(
        NoteRow(
            note_id=str(note.pk),
            about=names.get(note.about, ""),
            photo=shown.get(note.about.removeprefix("photo:")),
            by=note.author.name,
            when=moment(note.made_at, zone),
            text=note.text,
            answer=note.answer,
            answered_by=note.settled_by.name if note.settled_by else "",
            settle_url=""
            if note.settled_at or not may
            else f"{_url('note-settle', actor, note.pk)}?from={page}",
        )
        for note in notes
    )


def may_answer(actor: Actor, visit: Visit) -> bool:
    """Say whether this person settles notes of the visit."""
    return visit.inspector_id == actor.member_id or actor.can("words.review")


def may_be_about(actor: Actor, visit: Visit, about: str) -> bool:
    """Say whether a note may name this: the visit, its finding, photo or duty."""
    if about == "visit":
        return True
    findings = Finding.objects.filter(firm=actor.firm, visit=visit)
    records, _ = folded(actor, visit)
    return about in names_of_things(pack(visit.pack), records, findings)


def names_of_things(
    pack: Pack, records: Mapping[str, Mapping[str, Any]], findings: Iterable[Finding]
) -> dict[str, str]:
    """Return what a note can be about, by its key, in words."""
    stops = {k: str(r.get("name") or "") for k, r in records.items()}
    return {
        **{f"finding:{row.pk}": f"“{title_of(row)}”" for row in findings},
        **{f"duty:{duty.id}": duty.item for duty in pack.duties},
        **{
            f"photo:{key}": f"a picture at {stops.get(str(r.get('stop')), 'the house')}"
            for key, r in records.items()
            if r["kind"] == "photo"
        },
    }


def changes_of(actor: Actor, visit: Visit) -> dict[object, list[SubstanceChange]]:
    """Return every change of substance asked for, by finding; one query."""
    rows = (
        SubstanceChange.objects.filter(firm=actor.firm, finding__visit=visit)
        .select_related("author")
        .order_by("made_at", "pk")
    )
    found: dict[object, list[SubstanceChange]] = {}
    for row in rows:
        found.setdefault(row.finding_id, []).append(row)
    return found


def change_rows(
    actor: Actor, visit: Visit, changes: Sequence[SubstanceChange], page: str
) -> tuple[ChangeRow, ...]:
    own = visit.inspector_id == actor.member_id and visit.status not in NO_MORE
    return tuple(
        ChangeRow(
            change_id=str(change.pk),
            label=FIELDS.get(change.field, change.field),
            before=_said(visit, change.field, change.before),
            after=_said(visit, change.field, change.after),
            reason=change.reason,
            by=change.author.name,
            asked_by=ASKED.get(change.asked_by, ""),
            state=_standing(visit, change),
            answer_url=f"{_url('change-answer', actor, change.pk)}?from={page}"
            if own and change.answer == WAITING
            else "",
        )
        for change in changes
    )


def _said(visit: Visit, field: str, value: str) -> str:
    known = {
        "consequence": sentences.consequence_choices(),
        "timing": sentences.timing_choices(visit.purpose),
        "trade": sentences.trade_choices(),
    }.get(field, [])
    return next((one.label for one in known if one.key == value), value or "nowhere")


def _standing(visit: Visit, change: SubstanceChange) -> str:
    name = visit.inspector.name
    if change.answer == WAITING:
        return f"Waits for {name}."
    said = "accepted" if change.answer == SubstanceChange.Answer.YES else "refused"
    when = change.answered_at
    day = f", {moment(when, visit.property.time_zone)}" if when else ""
    return f"{name} {said} it{day}."


def _url(name: str, actor: Actor, key: object) -> str:
    return reverse(name, args=[actor.firm.slug, key])
