"""One finding with all that led to it: words, photos, facts, rule, notes, history."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.urls import reverse

from findings.models import Finding, Revision
from findings.selectors import objections, review_notes, review_photos, review_words
from findings.selectors.evaluation import Records
from findings.selectors.reading_order import in_reading_order
from findings.selectors.review_beside import similar
from findings.selectors.review_facts import fact_rows, rule_row
from findings.selectors.review_notes import NO_MORE
from findings.selectors.review_pages import FindingPage
from findings.selectors.review_visit import level, state_words
from findings.selectors.shelf import house_of
from findings.selectors.sittings import others_here
from findings.selectors.training import recorded
from findings.wording import sentences
from findings.wording.words import Words
from firm.actor import Actor
from inspections.models import Visit
from inspections.selectors.folded import folded
from inspections.selectors.heads import visit_head
from inspections.selectors.recorders import trainees_of

State = Finding.State


def finding_page(
    actor: Actor, finding: Finding, now: datetime, theirs: Words | None = None
) -> FindingPage:
    """Return the page; `theirs` are newer words when somebody was quicker."""
    visit = finding.visit
    records, _ = folded(actor, visit)
    numbers, place = _numbers(actor, finding, records)
    noting = actor.can("words.note") and visit.status not in NO_MORE
    photos = review_photos.with_notes(
        review_photos.photo_rows(actor, visit, records),
        _whole(actor, visit) if noting else "",
    )
    changes = review_notes.changes_of(actor, visit).get(finding.pk, [])
    waits = any(change.answer == objections.WAITING for change in changes)
    notes = review_notes.notes_of(actor, visit, f"finding:{finding.pk}")
    return FindingPage(
        head=visit_head(actor, visit, "review-read"),
        review_url=f"{_whole(actor, visit)}#finding-{place + 1}",
        number=place + 1,
        of=len(numbers),
        title=objections.title_of(finding),
        level=level(visit, finding),
        state=state_words(finding, change_waits=waits),
        facts=fact_rows(finding, records),
        rule=rule_row(actor, visit, finding),
        photos=tuple(photos[k] for k in map(str, finding.photos) if k in photos),
        places=review_words.places_said(finding.places),
        age_note=finding.age_note,
        recorded=recorded(visit, finding, trainees_of(actor, visit)),
        changes=review_notes.change_rows(actor, visit, changes, "finding"),
        notes=review_notes.note_rows(actor, visit, notes, {}, "finding"),
        version=finding.version,
        levels=level_choices(finding),
        stands_against=_stands_against(actor, finding, waits=waits),
        earlier_url=_beside(actor, numbers, place - 1),
        later_url=_beside(actor, numbers, place + 1),
        **_in_view(actor, visit, now),
        **_like(actor, finding),
        **_wording(actor, finding, records, theirs),
        **_urls(actor, finding),
    )


def _whole(actor: Actor, visit: Visit) -> str:
    return reverse("review-read", args=[actor.firm.slug, visit.pk])


def _like(actor: Actor, finding: Finding) -> dict[str, Any]:
    said, rows = similar(actor, finding)
    return {"similar": rows, "similar_said": said}


def _in_view(actor: Actor, visit: Visit, now: datetime) -> dict[str, Any]:
    if not actor.can("words.review"):
        return {}
    return {
        "beat_url": reverse("review-beat", args=[actor.firm.slug, visit.pk]),
        "others": others_here(actor, visit, now),
    }


def _wording(
    actor: Actor, finding: Finding, records: Records, theirs: Words | None
) -> dict[str, Any]:
    """Return the words with their remarks, differences and earlier states."""
    visit, words = finding.visit, objections.words_of(finding)
    revisions = _revisions(actor, finding)
    stops = [str(r.get("name") or "") for r in records.values() if r["kind"] == "stop"]
    remarks = review_words.remarks_on(finding, stops, house_of(actor))
    handed_in = review_words.handed_in_words(visit, revisions)
    return {
        "parts": review_words.part_rows(words, handed_in, remarks),
        "remarks": review_words.remark_rows(remarks, words),
        "history": review_words.history(visit, revisions),
        "theirs": review_words.part_rows(theirs) if theirs else (),
    }


def next_to_read(actor: Actor, finding: Finding) -> Finding | None:
    """Return the finding in review to read after this one; at the end the first."""
    records, _ = folded(actor, finding.visit)
    order, place = _numbers(actor, finding, records)
    onward = [*order[place + 1 :], *order[:place]]
    return next((row for row in onward if row.state == State.IN_REVIEW), None)


def level_choices(finding: Finding) -> dict[str, tuple[tuple[str, str], ...]]:
    """Return what the level and the trade can be changed to, as form choices."""
    lists = {
        "consequence": sentences.consequence_choices(),
        "timing": sentences.timing_choices(finding.visit.purpose),
        "trade": sentences.trade_choices(),
    }
    return {
        name: tuple((one.key, one.label) for one in found)
        for name, found in lists.items()
    }


def _numbers(
    actor: Actor, finding: Finding, records: Records
) -> tuple[list[Finding], int]:
    """Return the visit's findings as they are read, and where this one stands."""
    rows = (
        Finding.objects.filter(firm=actor.firm, visit=finding.visit)
        .exclude(state=State.WITHDRAWN)
        .order_by("source_key")
    )
    order = [one.row for one in in_reading_order(records, rows)]
    place = next((n for n, row in enumerate(order) if row.pk == finding.pk), None)
    # One that was taken out of the report has no number in it; it is read last.
    return (order, place) if place is not None else ([*order, finding], len(order))


def _revisions(actor: Actor, finding: Finding) -> Sequence[Revision]:
    return list(
        Revision.objects.filter(firm=actor.firm, finding=finding)
        .select_related("author")
        .order_by("number")
    )


def _beside(actor: Actor, numbers: Sequence[Finding], place: int) -> str:
    if not 0 <= place < len(numbers):
        return ""
    return reverse("finding-read", args=[actor.firm.slug, numbers[place].pk])


def _may_check(actor: Actor, finding: Finding) -> bool:
    if not actor.can("words.review") or finding.visit.status != Visit.Status.HANDED_IN:
        return False
    return finding.state == State.IN_REVIEW


def _stands_against(actor: Actor, finding: Finding, *, waits: bool) -> tuple[str, ...]:
    if not _may_check(actor, finding):
        return ()
    reasons = objections.to_words(finding, change_waits=waits)
    if finding.author_id == actor.member_id and objections.others_could_read(actor):
        reasons.append(objections.OWN_WORDS)
    return tuple(reasons)


def _urls(actor: Actor, finding: Finding) -> dict[str, Any]:
    """Return the addresses of what this person may do with the finding now."""
    visit = finding.visit
    own = visit.inspector_id == actor.member_id
    reviews = actor.can("words.review")
    is_open = visit.status not in NO_MORE and finding.state != State.WITHDRAWN
    passed = finding.state in {State.IN_REVIEW, State.WORDS_CHECKED, State.SIGNED}
    may = {
        "words_url": ("finding-words", is_open and (own or reviews)),
        "change_url": ("finding-change", is_open and reviews),
        "return_url": ("finding-return", is_open and reviews and passed),
        "hand_back_url": ("finding-hand-back", own and finding.state == State.RETURNED),
        "check_url": ("finding-check", _may_check(actor, finding)),
    }
    urls = {
        key: reverse(name, args=[actor.firm.slug, finding.pk]) if allowed else ""
        for key, (name, allowed) in may.items()
    }
    notes = is_open and actor.can("words.note")
    to_note = reverse("note-write", args=[actor.firm.slug, visit.pk])
    remarks = reverse("finding-remarks", args=[actor.firm.slug, finding.pk])
    return urls | {"note_url": to_note if notes else "", "remarks_url": remarks}
