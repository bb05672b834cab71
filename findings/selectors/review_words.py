"""A finding's words as rows: parts with differences, runs at remarks, history."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

from findings.models import Finding, Revision
from findings.selectors.objections import words_of
from findings.selectors.review_pages import (
    PartRow,
    RemarkRow,
    RevisionRow,
    TextRun,
)
from findings.selectors.shelf import House
from findings.standards.coverage import listed
from findings.wording import checks
from findings.wording.context import Remark
from findings.wording.passages import fill_by_key
from findings.wording.words import PARTS, Words
from inspections.models import Visit
from inspections.selectors.words import moment

LABELS = {
    "seen": "What was seen, and where",
    "matters": "Why it matters",
    "action": "What to do, and which trade does it",
    "when": "How soon",
}
ASKED = {
    "CLIENT": "asked by the client",
    "AGENT": "asked by an agent",
    "SELLER": "asked by the seller",
    "OWN": "our own idea",
}


def clock(at: datetime, zone: str) -> str:
    """Say a clock time in the property's zone: 9:05 am."""
    there = at.astimezone(ZoneInfo(zone))
    return there.strftime("%I:%M %p").lstrip("0").lower()


def places_said(places: Iterable[object]) -> tuple[str, ...]:
    """Say places that differ only at their end as one: "Panel, spaces 3, 5 and 7"."""
    heads: dict[str, list[str]] = {}
    for place in places:
        head, _, tail = str(place).rpartition(", ")
        heads.setdefault(head, []).append(tail)
    return tuple(_joined(head, tails) for head, tails in heads.items())


def _joined(head: str, tails: Sequence[str]) -> str:
    numbers = [tail.removeprefix("space ") for tail in tails]
    said = listed(tails)
    if len(tails) > 1 and all(number.isdigit() for number in numbers):
        said = f"spaces {listed(sorted(numbers, key=int))}"
    return f"{head}, {said}" if head else said


def remarks_on(
    finding: Finding,
    places: Iterable[str],
    house: House,
    words: Words | None = None,
) -> list[Remark]:
    """Run the wording checks with what the finding rests on.

    `words` are typed and not saved yet; without them, the finding's own are read.
    """
    told: Mapping[str, Any] = finding.proposal or {}
    blanks = told.get("blanks") or {}
    # As drafted: a blank's value has its unit from the passage ("{limit_A} A").
    drafted = fill_by_key(
        finding.passage,
        blanks,
        consequence=finding.consequence,
        shelf=house.shelf,
    )
    around = checks.context_for(
        places=[*places, *map(str, finding.places)],
        facts=told.get("facts") or (),
        blanks=blanks,
        passage=" ".join(text for _, text in drafted.parts()),
        tuning=house.tuning,
    )
    return checks.check(words or words_of(finding), around, house.tuning)


def remark_rows(remarks: Sequence[Remark], words: Words) -> tuple[RemarkRow, ...]:
    return tuple(
        RemarkRow(
            number=number,
            part=LABELS[remark.part],
            about=words.part(remark.part)[remark.start : remark.end],
            message=remark.message,
        )
        for number, remark in enumerate(remarks, 1)
    )


def part_rows(
    now: Words, before: Words | None = None, remarks: Sequence[Remark] = ()
) -> tuple[PartRow, ...]:
    """Return the four parts, each with how it was handed in and cut at remarks."""
    rows = []
    for name in PARTS:
        text = now.part(name)
        was = before.part(name) if before else text
        rows.append(
            PartRow(
                key=name,
                label=LABELS[name],
                now=text,
                runs=_runs(name, text, remarks),
                before=was,
                changed=was != text,
            )
        )
    return tuple(rows)


def _runs(name: str, text: str, remarks: Sequence[Remark]) -> tuple[TextRun, ...]:
    """Cut a text where remarks begin and end; of overlapping ones the first counts."""
    runs, at = [], 0
    for number, remark in enumerate(remarks, 1):
        if remark.part != name or remark.start < at or remark.end <= remark.start:
            continue
        if remark.start > at:
            runs.append(TextRun(text[at : remark.start]))
        runs.append(TextRun(text[remark.start : remark.end], number))
        at = remark.end
    if not runs:
        return ()
    return (*runs, TextRun(text[at:])) if at < len(text) else tuple(runs)


def said_in(revision: Revision) -> Words:
    return Words(revision.seen, revision.matters, revision.action, revision.when)


def handed_in_words(visit: Visit, revisions: Sequence[Revision]) -> Words | None:
    """Return the words as the inspector handed them in, None before there are any.

    What a reviewer wrote between two hand-ins still counts as a change.
    """
    if not revisions:
        return None
    own = [
        one
        for one in revisions
        if one.author_id == visit.inspector_id
        and visit.handed_in_at
        and one.made_at <= visit.handed_in_at
    ]
    return said_in(max(own, key=lambda one: one.number) if own else revisions[0])


def history(visit: Visit, revisions: Sequence[Revision]) -> tuple[RevisionRow, ...]:
    """Return every rewording, the newest first, each against the one before it."""
    rows = []
    for before, now in pairwise(revisions):
        parts = part_rows(said_in(now), said_in(before))
        rows.append(
            RevisionRow(
                number=now.number,
                by=now.author.name if now.author else "",
                when=moment(now.made_at, visit.property.time_zone),
                asked_by=ASKED.get(now.asked_by, ""),
                parts=tuple(part for part in parts if part.changed),
            )
        )
    return tuple(reversed(rows))
