"""One visit as the client will read it, with what only the firm sees beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

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
from findings.selectors.review_beside import earlier_visits
from findings.selectors.review_facts import (
    after_leaving,
    fact_rows,
    questions,
    rule_row,
    set_aside,
)
from findings.selectors.review_pages import (
    LedgerPlaceRow,
    LinkRow,
    PlaceRow,
    ReviewFindingRow,
    ReviewPage,
)
from findings.selectors.review_policy import Policy, may_pass, policy_of, why_read
from findings.selectors.shelf import House, house_of
from findings.selectors.sittings import others_here
from findings.selectors.turns import FREE, readers, turns
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
    policy: Policy
    passing: frozenset[UUID]  # by the policy, unread by a person
    note_url: str  # the page's own address, where a note may be put
    trainees: training.Trainees


def review_page(
    actor: Actor, visit: Visit, now: datetime, about: str = "", after: int = 0
) -> ReviewPage:
    """Return the page; queries do not grow with the findings."""
    held = _gather(actor, visit)
    findings = [one.row for one in held.numbered]
    names = review_notes.names_of_things(held.seen.pack, held.seen.records, findings)
    places = _places(actor, held)
    rows = [row for place in places for row in place.findings]
    return ReviewPage(
        head=visit_head(actor, visit, "review-read", proof_words(actor, visit)),
        inspector=visit.inspector.name,
        promised=promised_words(visit),
        places=places,
        front=_front(held),
        ledger=_ledger(held),
        after_leaving=after_leaving(held.seen),
        loose_photos=review_photos.loose(
            held.photos, (photo for row in findings for photo in row.photos)
        ),
        set_aside=set_aside(held.seen),
        withdrawn=withdrawn(actor, visit),
        questions=questions(held.seen),
        training=tuple(training.stops(visit, held.seen, held.trainees)),
        notes=review_notes.note_rows(
            actor, visit, held.notes, names, "review", held.photos
        ),
        note_about=names.get(about, ""),
        note_url=_url("note-write", actor, visit) if held.note_url else "",
        passing=sum(1 for row in rows if row.passes),
        left=sum(1 for row in rows if row.check_url),
        next=_next(rows, after) if after else 0,
        earlier=earlier_visits(actor, visit),
        hazards=tuple(
            str(one.get("what") or "") for _, one in held.seen.of_kind("hazard")
        ),
        urgent_url=_url("urgent-list", actor, visit),
        **_reading(actor, held, now),
    )


def _next(rows: Sequence[ReviewFindingRow], after: int) -> int:
    """Return the finding to read after one was passed; the first again at the end."""
    left = [row.number for row in rows if row.check_url]
    return next((number for number in left if number > after), min(left, default=0))


def _reading(actor: Actor, held: Gathered, now: datetime) -> dict[str, Any]:
    """Return who reads the visit, and what stands against handing it over."""
    visit = held.visit
    if not actor.can("words.review"):
        return {}
    may_finish = visit.status == Visit.Status.HANDED_IN
    turn = turns(actor, [visit], now).get(visit.pk, FREE)
    open_notes = sum(1 for note in held.notes if note.settled_at is None)
    read = [one.row for one in held.numbered if one.row.pk not in held.passing]
    waits = visit.status == Visit.Status.WORDS_CHECKED
    stands_in = waits and actor.can("visits.stand_in")
    own = visit.inspector_id == actor.member_id
    return {
        "stand_in_url": _url("visit-stand-in", actor, visit)
        if stands_in and not own
        else "",
        "beat_url": _url("review-beat", actor, visit),
        "others": others_here(actor, visit, now),
        "turn": turn.words,
        "turn_url": _url("turn-give", actor, visit),
        "turn_choices": tuple((str(one.pk), one.name) for one in readers(actor)),
        "finish_url": _url("review-finish", actor, visit) if may_finish else "",
        "stands_against": tuple(objections.to_finish(actor, visit, read, open_notes))
        if may_finish
        else (),
    }


def _gather(actor: Actor, visit: Visit) -> Gathered:
    seen = evaluate(actor, visit)
    rows = (
        Finding.objects.filter(firm=actor.firm, visit=visit)
        .exclude(state=State.WITHDRAWN)
        .select_related("words", "visit__inspector")
        .order_by("source_key")
    )
    noting = actor.can("words.note") and visit.status not in review_notes.NO_MORE
    note_url = _url("review-read", actor, visit) if noting else ""
    revisions: dict[Any, list[Revision]] = {}
    for one in Revision.objects.filter(firm=actor.firm, finding__visit=visit).order_by(
        "finding_id", "number"
    ):
        revisions.setdefault(one.finding_id, []).append(one)
    findings = list(rows)
    return Gathered(
        visit=visit,
        seen=seen,
        numbered=in_reading_order(seen.records, findings),
        revisions=revisions,
        changes=review_notes.changes_of(actor, visit),
        notes=review_notes.notes_of(actor, visit),
        photos=review_photos.with_notes(
            review_photos.photo_rows(actor, visit, seen.records), note_url
        ),
        policy=policy_of(actor),
        passing=may_pass(actor, visit, findings),
        note_url=note_url,
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
    passes = held.policy.library_passes
    why = why_read(held.policy, row, stops, house) if passes else ""
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
        version=row.version,
        facts=fact_rows(row, held.seen.records),
        rule=rule_row(actor, held.visit, row),
        why_read=why,
        note_url=f"{held.note_url}?about={about}#put-note" if held.note_url else "",
        **_checking(actor, held, one, waits=waits),
        recorded=training.recorded(held.visit, row, held.trainees),
    )


def _checking(
    actor: Actor, held: Gathered, one: Numbered, *, waits: bool
) -> dict[str, Any]:
    """Return where the words are passed from here, or that nobody has to."""
    row, number = one.row, one.number
    in_review = held.visit.status == Visit.Status.HANDED_IN
    if row.state != State.IN_REVIEW or not in_review or not actor.can("words.review"):
        return {}
    if objections.to_words(row, change_waits=waits):
        return {}
    if row.pk in held.passing:
        return {"passes": "Passes by the firm's policy, unread."}
    address = reverse("finding-check", args=[actor.firm.slug, row.pk])
    return {"check_url": f"{address}?from=review&after={number}"}


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


def _ledger(held: Gathered) -> tuple[LedgerPlaceRow, ...]:
    seen = held.seen
    open_at: dict[str, list[OpenLine]] = {}
    for line in seen.ledger.open():
        text = f"{coverage.opened(line.item)}. {line.hint}".strip()
        open_at.setdefault(line.place, []).append(
            OpenLine(
                text, needs_feet=line.needs_feet, note_url=_note_on(held, line.duty)
            )
        )
    told = {
        one.place: [*one.sentences, *one.gaps] for one in coverage.by_place(seen.ledger)
    }
    outside = [f"{coverage.opened(one)}." for one in coverage.outside(seen.ledger)]
    if outside:
        told["Outside the agreement"] = outside
    duties = _duties(held) if held.note_url else {}
    return tuple(
        LedgerPlaceRow(
            place,
            tuple(open_at.get(place, ())),
            tuple(told.get(place, ())),
            duties.get(place, ()),
        )
        for place in _order(told, open_at)
    )


def _duties(held: Gathered) -> dict[str, tuple[LinkRow, ...]]:
    """Return by place each line of the standard that is answered there."""
    ledger = held.seen.ledger
    found: dict[str, dict[str, LinkRow]] = {}
    for row in ledger.rows:
        if row.state in ("outside_agreement", "open"):
            continue
        place = ledger.names.get(row.stop, "The house as a whole")
        link = LinkRow(coverage.opened(row.item), _note_on(held, row.duty))
        found.setdefault(place, {}).setdefault(row.duty, link)
    return {place: tuple(rows.values()) for place, rows in found.items()}


def _note_on(held: Gathered, duty: str) -> str:
    return f"{held.note_url}?about=duty:{duty}#put-note" if held.note_url else ""


def _order(*named: Mapping[str, object]) -> Iterator[str]:
    yield from dict.fromkeys(place for places in named for place in places)


def _url(name: str, actor: Actor, visit: Visit) -> str:
    return reverse(name, args=[actor.firm.slug, visit.pk])
