"""One recorded entry in words: its title, its value, where it is written."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from findings.selectors.field.ground import Ground, Record
from findings.selectors.field.routes import items, labels, value_words
from findings.selectors.field.rows import EntryRow

SHOWN: Final = (
    "observation", "measure", "plate", "alarm", "alarm_look", "branch_wiring", "box",
    "wall", "duty", "hand_finding", "hazard", "as_left", "runner", "told", "note",
)  # fmt: skip
QUIET: Final = {"item", "how_known", "how", "about"}
UNITS: Final = {"F": "°F", "pct": "%", "in": "in", "ft2": "ft²", "in2": "in²"}


def entry_rows(base: Ground, stop: str) -> tuple[EntryRow, ...]:
    """Return what was recorded at a stop, in the order that it came in."""
    found = [(k, r) for kind in SHOWN for k, r in base.at(stop, kind)]
    return tuple(_row(base, key, record) for key, record in sorted(found))


def entry_url(base: Ground, rec: str) -> str:
    """Return the page on which a record is written; empty when there is none."""
    record = base.records.get(rec, {})
    kind = record.get("kind")
    if kind == "stop":
        return base.url("stop-read", rec)
    if kind == "enclosure":
        return base.url("enclosure-write", rec)
    if kind == "space":
        return base.url("space-write", record.get("enclosure"), record.get("number"))
    if kind == "receptacle":
        return base.url("receptacle-write", record.get("stop"), rec)
    if kind in {"visit", *labels().kinds}:
        return base.url("entry-write", rec)
    return ""


def title_of(record: Record) -> str:
    """Return what an entry is about: its item, or its kind."""
    known = items().items.get(str(record.get("item") or ""))
    if known is not None:
        return known.label
    if record.get("item"):
        plain = str(record["item"]).replace("_", " ")
        return plain[:1].upper() + plain[1:]
    told = labels().kinds.get(str(record.get("kind")))
    return told.title if told else str(record.get("kind")).replace("_", " ")


def value_of(record: Record) -> str:
    """Return an entry's value in one line."""
    kind = record.get("kind")
    return _MAKERS.get(str(kind), _any)(record) or "begun, nothing said yet"


def what_words(record: Record) -> str:
    """Return what an observation or a measure is about, in words."""
    what = str(record.get("what") or "")
    for item in items().items.values():
        if what in item.ask:
            return item.ask[what].label
    for unit in ("_in", "_ft", "_F", "_V", "_A", "_psi", "_pct"):
        what = what.removesuffix(unit)
    return what.replace("_", " ")


def how_words(record: Record) -> str:
    how = record.get("how_known") or record.get("how")
    return value_words(how) if how and how != "seen" else ""


def _row(base: Ground, key: str, record: Record) -> EntryRow:
    return EntryRow(
        record_id=key,
        title=_duty_title(base, record) or title_of(record),
        meaning=_means(base, key) or _beside(base, key),
        weighs=bool(_means(base, key)),
        value=value_of(record),
        url=entry_url(base, key),
        how_known=how_words(record),
        held_apart=base.apart(key),
        after_leaving=record.get("on_site") is False,
    )


def _duty_title(base: Ground, record: Record) -> str:
    duties = {duty.id: duty for duty in base.seen.pack.duties}
    duty = duties.get(str(record.get("duty") or ""))
    return f"{duty.item[:1].upper()}{duty.item[1:]}" if duty else ""


def _means(base: Ground, key: str) -> str:
    """Return what the rules make of an entry that waits for an answer, in one line."""
    for one in base.seen.undecided:
        if key in one.subjects and one.why:
            return f"{one.why[:1].upper()}{one.why[1:]}."
    return ""


def _beside(base: Ground, key: str) -> str:
    """Return what an entry means by itself, where nothing is proposed from it."""
    told = base.seen.beside.get(key, ())
    return " ".join(f"{words[:1].upper()}{words[1:]}." for words in told)


def _observation(record: Record) -> str:
    answer = value_words(record.get("answer") or "")
    about = what_words(record)
    first = f"{about}: {answer}" if about and answer else about or answer
    return ". ".join(filter(None, (first, str(record.get("text") or ""))))


def _measure(record: Record) -> str:
    if record.get("value") is None:
        return ""
    unit = str(record.get("unit") or "")
    amount = f"{record['value']} {UNITS.get(unit, unit)}".strip()
    return f"{what_words(record)}: {amount}" if record.get("what") else amount


def _duty(record: Record) -> str:
    answer = value_words(record.get("answer") or "")
    return ". ".join(filter(None, (answer, str(record.get("text") or ""))))


def _as_left(record: Record) -> str:
    found, left = record.get("found"), record.get("left")
    parts = [
        f"found {found}" if found else "",
        f"now {left}" if left else "",
        "put back" if record.get("put_back") else "not put back",
    ]
    said = "; ".join(filter(None, parts))
    return f"{record['what']}: {said}" if record.get("what") else said


def _wall(record: Record) -> str:
    at = record.get("receptacles_at_ft")
    sides = [str(record[k]) for k in ("long_in", "short_in") if record.get(k)]
    parts = [
        f"{record['length_ft']} ft" if record.get("length_ft") else "",
        f"{' by '.join(sides)} in" if sides else "",
        f"receptacles at {', '.join(map(str, at))} ft" if at else "",
        "no receptacle" if at == [] else "",
    ]
    said = ", ".join(filter(None, parts))
    place = str(record.get("place") or value_words(record.get("wall_kind") or "wall"))
    return f"{place}: {said}" if said else place


def _by_hand(record: Record) -> str:
    return str(record.get("line") or "")


def _any(record: Record) -> str:
    told = labels().kinds.get(str(record.get("kind")))
    order = list(told.fields) if told else []
    names = [name for name in order if name not in QUIET]
    return "; ".join(
        value_words(record[name]) for name in names if _says(record.get(name))
    )


def _says(value: Any) -> bool:
    return value not in (None, "", [], False)


_MAKERS: Final[dict[str, Callable[[Record], str]]] = {
    "observation": _observation,
    "measure": _measure,
    "duty": _duty,
    "as_left": _as_left,
    "wall": _wall,
    "hand_finding": _by_hand,
}
