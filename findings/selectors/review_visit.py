"""One visit as the client will read it, with what only the firm sees beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from findings.models import Finding, ReviewNote, Revision, SubstanceChange
from findings.selectors import (
    objections,
    review_notes,
    review_photos,
    review_words,
    training,
)
from findings.selectors.evaluation import Evaluation, evaluate
from findings.selectors.reading_order import Numbered, in_reading_order
from findings.selectors.review_facts import after_leaving, questions, set_aside
from findings.selectors.review_pages import (
    LedgerPlaceRow,
    PlaceRow,
    ReviewFindingRow,
    ReviewPage,
)
from findings.selectors.shelf import House, house_of
from findings.selectors.visit_asks import promised_words
from findings.selectors.withdrawn import withdrawn
from findings.standards import coverage, front
from findings.wording import sentences
from firm.actor import Actor
from inspections.log.route import in_order
from inspections.models import Visit
from inspections.selectors.heads import visit_head
from inspections.selectors.proofs import proof_words
from inspections.selectors.recorders import trainees_of
from inspections.selectors.rows import OpenLine, PhotoRow

State = Finding.State


@dataclass(frozen=True, slots=True)
class Gathered:
    """Rows of one visit's review, fetched once."""

    visit: Visit
    seen: Evaluation
    numbered: tuple[Numbered, ...]
    revisions: Mapping[Any, list[Revision]]
    changes: Mapping[Any, list[SubstanceChange]]
    notes: list[ReviewNote]
    photos: Mapping[str, PhotoRow]
    trainees: training.Trainees


def review_page(actor: Actor, visit: Visit) -> ReviewPage:
    """Return the page; queries do not grow with the findings."""
    held = _gather(actor, visit)
    findings = [one.row for one in held.numbered]
    names = review_notes.names_of_things(held.seen.pack, held.seen.records, findings)
    open_notes = sum(1 for note in held.notes if note.settled_at is None)
    in_review = visit.status == Visit.Status.HANDED_IN
    may_finish = in_review and actor.can("words.review")
    return ReviewPage(
        head=visit_head(actor, visit, "review-read", proof_words(actor, visit)),
        inspector=visit.inspector.name,
        promised=promised_words(visit),
        places=_places(actor, held),
        front=_front(held),
        ledger=_ledger(held.seen),
        after_leaving=after_leaving(held.seen),
        loose_photos=review_photos.loose(
            held.photos, (photo for row in findings for photo in row.photos)
        ),
        set_aside=set_aside(held.seen),
        withdrawn=withdrawn(actor, visit),
        questions=questions(held.seen),
        training=tuple(training.stops(visit, held.seen, held.trainees)),
        notes=review_notes.note_rows(actor, visit, held.notes, names, "review"),
        note_url=_url("note-write", actor, visit) if actor.can("words.note") else "",
        finish_url=_url("review-finish", actor, visit) if may_finish else "",
        stands_against=tuple(objections.to_finish(actor, visit, findings, open_notes))
        if may_finish
        else (),
    )


def _gather(actor: Actor, visit: Visit) -> Gathered:
    seen = evaluate(actor, visit)
    rows = (
        Finding.objects.filter(firm=actor.firm, visit=visit)
        .exclude(state=State.WITHDRAWN)
        .select_related("words")
        .order_by("source_key")
    )
    revisions: dict[Any, list[Revision]] = {}
    for one in Revision.objects.filter(firm=actor.firm, finding__visit=visit).order_by(
        "finding_id", "number"
    ):
        revisions.setdefault(one.finding_id, []).append(one)
    return Gathered(
        visit=visit,
        seen=seen,
        numbered=in_reading_order(seen.records, rows),
        revisions=revisions,
        changes=review_notes.changes_of(actor, visit),
        notes=review_notes.notes_of(actor, visit),
        photos=review_photos.photo_rows(actor, visit, seen.records),
        trainees=trainees_of(actor, visit),
    )


def _places(actor: Actor, held: Gathered) -> tuple[PlaceRow, ...]:
    stops = [str(r.get("name") or "") for _, r in in_order(held.seen.of_kind("stop"))]
    rows: dict[str, list[ReviewFindingRow]] = {}
    house = house_of(actor)
    for one in held.numbered:
        rows.setdefault(one.place, []).append(_finding(actor, held, one, stops, house))
    return tuple(PlaceRow(place, tuple(found)) for place, found in rows.items())


def _finding(
    actor: Actor,
    held: Gathered,
    one: Numbered,
    stops: Sequence[str],
    house: House,
) -> ReviewFindingRow:
    row = one.row
    parts = review_words.part_rows(
        objections.words_of(row),
        review_words.handed_in_words(held.visit, held.revisions.get(row.pk, [])),
    )
    about = f"finding:{row.pk}"
    waits = any(c.answer == objections.WAITING for c in held.changes.get(row.pk, ()))
    return ReviewFindingRow(
        number=one.number,
        title=objections.title_of(row),
        level=level(held.visit, row),
        parts=parts,
        url=reverse("finding-read", args=[actor.firm.slug, row.pk]),
        state=state_words(row, change_waits=waits),
        places=review_words.places_said(row.places),
        photos=tuple(
            held.photos[key] for key in map(str, row.photos) if key in held.photos
        ),
        age_note=row.age_note,
        remarks=len(review_words.remarks_on(row, stops, house)),
        notes=sum(1 for n in held.notes if n.about == about and not n.settled_at),
        waits=row.state not in {State.WORDS_CHECKED, State.SIGNED},
        changed=any(part.changed for part in parts),
        recorded=training.recorded(held.visit, row, held.trainees),
    )


def level(visit: Visit, row: Finding) -> str:
    """Return the printed sentence of consequence, trade and timing."""
    return sentences.sentence(row.consequence, row.timing, row.trade, visit.purpose)


def state_words(row: Finding, *, change_waits: bool) -> str:
    said = str(row.get_state_display())
    return f"{said}; a change waits for the inspector" if change_waits else said


def _front(held: Gathered) -> tuple[str, ...]:
    ranked = front.front_order(held.seen.pack, held.numbered)
    return tuple(
        f"{objections.title_of(one.row)} (finding {one.number}, {one.place}). "
        f"{level(held.visit, one.row)}"
        for one in ranked
    )


def _ledger(seen: Evaluation) -> tuple[LedgerPlaceRow, ...]:
    open_at: dict[str, list[OpenLine]] = {}
    for line in seen.ledger.open():
        text = f"{coverage.opened(line.item)}. {line.hint}".strip()
        open_at.setdefault(line.place, []).append(
            OpenLine(text, needs_feet=line.needs_feet)
        )
    told = {
        one.place: [*one.sentences, *one.gaps] for one in coverage.by_place(seen.ledger)
    }
    outside = [f"{coverage.opened(one)}." for one in coverage.outside(seen.ledger)]
    if outside:
        told["Outside the agreement"] = outside
    return tuple(
        LedgerPlaceRow(place, tuple(open_at.get(place, ())), tuple(told.get(place, ())))
        for place in _order(told, open_at)
    )


def _order(*named: Mapping[str, object]) -> Iterator[str]:
    yield from dict.fromkeys(place for places in named for place in places)


def _url(name: str, actor: Actor, visit: Visit) -> str:
    return reverse(name, args=[actor.firm.slug, visit.pk])
