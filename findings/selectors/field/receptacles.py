"""The receptacle walk of one room: counts, the odd ones, what protects what."""

from __future__ import annotations

from typing import Final
from uuid import UUID

from django.http import Http404

from findings.rules.meaning import Meaning, Reader
from findings.selectors.field.ground import Ground, Record, new_id
from findings.selectors.field.live import live
from findings.selectors.field.rows import (
    OddReceptacleRow,
    ReceptaclePage,
    ReceptacleWalkPage,
)
from findings.selectors.field.walk import name_of
from inspections.selectors.rows import FactRow

COUNTS: Final = tuple(
    f"receptacles_{name}" for name in ("seen", "tried", "correct", "not_reachable")
)
PAIRS: Final = {
    "hot_neutral": "hot–neutral",
    "hot_ground": "hot–ground",
    "neutral_ground": "neutral–ground",
}


def walk_page(base: Ground, stop_id: UUID) -> ReceptacleWalkPage:
    key, stop = str(stop_id), base.of("stop", stop_id)
    reader = _reader(base)
    odd = sorted(base.at(key, "receptacle"))
    own = {rec for rec, _ in odd}
    return ReceptacleWalkPage(
        head=base.head,
        stop_name=name_of(stop),
        stop_url=base.url("stop-read", key),
        odd_url=base.url("receptacle-write", key, new_id()),
        odd=tuple(_odd(base, reader, rec, record) for rec, record in odd),
        protection=tuple(
            line for rec, record in odd if (line := _protects(base, record))
        ),
        ask_again=tuple(
            FactRow(
                _place(base, one),
                f"{words[:1].upper()}{words[1:]}. Repeat the test:",
                url=base.url("receptacle-write", base.stop_of(base.records[one]), one),
            )
            for one, other, words in reader.contradictions()
            if {one, other} & own
        ),
        meaning=_counts_mean(stop, len(odd)),
    )


def receptacle_page(base: Ground, stop_id: UUID, rec: UUID) -> ReceptaclePage:
    key, stop = str(stop_id), base.of("stop", stop_id)
    found = _reader(base).receptacle(str(rec)) if str(rec) in base.records else []
    first = found[0] if found else None
    return ReceptaclePage(
        head=base.head,
        stop_name=name_of(stop),
        walk_url=base.url("receptacle-walk", key),
        record_id=str(rec),
        meaning=_sentence(first) if first else "",
        weighs=bool(first and first.weighs),
        held_apart=base.apart(str(rec)),
        live=live(base, "receptacle", key),
    )


def others(base: Ground, rec: UUID) -> list[tuple[str, str]]:
    """Return the other receptacles of the visit with their places."""
    return [
        (key, _place(base, key))
        for key, _ in sorted(base.seen.of_kind("receptacle"))
        if key != str(rec)
    ]


def record(base: Ground, stop_id: UUID, rec: UUID) -> Record:
    """Return what is known of a receptacle, nothing for a new one. Raises Http404."""
    known = base.records.get(str(rec))
    if known is not None and (
        known["kind"] != "receptacle" or known.get("stop") != str(stop_id)
    ):
        raise Http404
    return known or {}


def _reader(base: Ground) -> Reader:
    return Reader(base.records, base.seen.conflicts, base.seen.rules)


def _odd(base: Ground, reader: Reader, rec: str, record: Record) -> OddReceptacleRow:
    weighing = [one for one in reader.receptacle(rec) if one.weighs]
    return OddReceptacleRow(
        record_id=rec,
        place=str(record.get("place") or "a place not written"),
        words=odd_words(record),
        url=base.url("receptacle-write", record.get("stop"), rec),
        meaning=" ".join(_sentence(one) for one in weighing),
    )


def odd_words(record: Record) -> str:
    """Return a receptacle as one sentence: lamps, protection, reset."""
    parts = [_lamp_words(record), _protection_words(record)]
    if record.get("cover") in {"missing", "broken"}:
        parts.append(f"cover {record['cover']}")
    said = "; ".join(filter(None, parts))
    return f"{said[:1].upper()}{said[1:]}." if said else "Nothing written yet."


def _lamp_words(record: Record) -> str:
    lit = record.get("lamps") or []
    if lit:
        names = " and ".join(PAIRS.get(one, one) for one in lit)
        return f"lit: {names}"
    return "tried, no lamp lit" if record.get("lamps_none") else ""


def _protection_words(record: Record) -> str:
    parts = []
    for field, yes, no in (
        ("gfci_own_button_trips", "trips by its button", "its button does not trip it"),
        ("gfci_tester_trips", "trips by the tester", "the tester does not trip it"),
        ("gfci_resets", "resets", "does not reset"),
    ):
        answer = record.get(field)
        if answer in {"yes", "no"}:
            parts.append(yes if answer == "yes" else no)
    if record.get("gfci_kind") == "none":
        parts.insert(0, "no ground-fault protection found")
    return ", ".join(parts)


def _protects(base: Ground, record: Record) -> str:
    died = [rec for rec in record.get("died_with") or [] if rec in base.records]
    if not died:
        return ""
    names = ", ".join(_place(base, rec) for rec in died)
    count = "1 other" if len(died) == 1 else f"{len(died)} others"
    own = record.get("place") or "this place"
    return f"The one at {own} protects {count}: {names}."


def _place(base: Ground, rec: str) -> str:
    record = base.records.get(rec, {})
    stop = base.seen.stop_name(record.get("stop"))
    return ", ".join(filter(None, (stop, str(record.get("place") or ""))))


def _counts_mean(stop: Record, odd: int) -> str:
    tried, correct = (stop.get(f"receptacles_{n}") for n in ("tried", "correct"))
    if tried is None or correct is None or not tried:
        return ""
    if correct == tried:
        return f"Tried {tried}, all correct."
    missing = tried - correct - odd
    if missing > 0:
        words = "one is" if missing == 1 else f"{missing} are"
        return f"{tried - correct} were not correct; {words} not written down yet."
    return f"Tried {tried}, {correct} correct; the others are written down."


def _sentence(one: Meaning) -> str:
    text = one.text
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"
