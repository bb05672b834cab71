"""Panels drawn as they are: spaces, what feeds them, and what was noted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any, Final

from findings.standards.loader import words_for_values
from reports.services.snapshot import words
from reports.services.snapshot.findings import Numbered
from reports.services.snapshot.material import Material

Record = Mapping[str, Any]
MOST_AMPS: Final = 400
FITTED: Final = frozenset({"breaker", "fuse", "pull_out"})


def printed(material: Material, numbered: Numbered) -> list[dict[str, Any]]:
    """Return every enclosure, from the service down the feeders."""
    held = dict(material.seen.of_kind("enclosure"))
    spaces: dict[str, list[tuple[str, Record]]] = {}
    for key, record in material.seen.of_kind("space"):
        spaces.setdefault(str(record.get("enclosure")), []).append((key, record))
    return [
        _panel(material, numbered, key, held[key], spaces.get(key, []))
        for key in _down_the_tree(held)
    ]


def _down_the_tree(held: Mapping[str, Record]) -> list[str]:
    """Order enclosures so that what feeds a panel stands before it."""
    waiting = sorted(held, key=lambda key: (not _is_first(held, key), _name(held[key])))
    done: list[str] = []
    while waiting:
        ready = [k for k in waiting if held[k].get("fed_from") not in waiting]
        # A circle in the records is the firm's to mend; the panels are printed all the
        # same.
        chosen = (ready or waiting)[0]
        waiting.remove(chosen)
        done.append(chosen)
    return done


def _is_first(held: Mapping[str, Record], key: str) -> bool:
    return held[key].get("role") == "service_disconnect"


def _name(record: Record) -> str:
    return str(record.get("name") or "Panel without a name")


def _panel(
    material: Material,
    numbered: Numbered,
    key: str,
    record: Record,
    rows: list[tuple[str, Record]],
) -> dict[str, Any]:
    columns = int(record.get("columns") or 2)
    spaces = _spaces(numbered, columns, rows)
    reach = max((s["number"] for s in spaces), default=0)
    return {
        "id": key,
        "name": words.line(_name(record)),
        "role_words": words.say("roles", record.get("role")),
        "place": words.line(_where(material, record)),
        "fed_from": words.line(_fed_from(material, record)),
        "main": _main(record),
        "bus": f"{record['bus_amps']} A" if record.get("bus_amps") else "",
        "volts": f"{record['volts']} V" if record.get("volts") else "",
        "conductor": _conductor(record),
        "columns": columns,
        "size": max(int(record.get("spaces") or 0), reach),
        "spaces": spaces,
        "notes": list(_notes(record, rows)),
        "findings": numbered.about(key),
    }


def _where(material: Material, record: Record) -> str:
    name = material.place_name(record)
    location = str(record.get("location") or "")
    if location.lower().startswith(name.lower()):
        return words.capital(location)
    return f"{name}, {location}" if location else name


def _fed_from(material: Material, record: Record) -> str:
    feeding = material.records.get(str(record.get("fed_from")))
    if feeding is None:
        return ""
    space = material.records.get(str(record.get("fed_by_space")), {})
    number = space.get("number")
    return f"{_name(feeding)}, space {number}" if number else _name(feeding)


def _main(record: Record) -> str:
    kind = words.say("main_kinds", record.get("main_kind"))
    amps = record.get("main_amps")
    if record.get("main_kind") == "lugs_only" or not amps:
        return kind
    return f"{amps} A {kind}".strip()


def _conductor(record: Record) -> str:
    parts = [_value(record, "conductor_size"), _value(record, "conductor_material")]
    text = " ".join(part for part in parts if part)
    if not text:
        return ""
    many = record.get("conductor_parallel")
    text = f"{many} in parallel, each {text}" if many and many > 1 else text
    how = words.say("conductor_how", record.get("conductor_how"))
    return words.line(f"{text}, {how}" if how else text)


def _value(record: Record, field: str) -> str:
    value = record.get(field)
    return words_for_values().get(str(value), str(value)) if value else ""


def _spaces(
    numbered: Numbered, columns: int, rows: list[tuple[str, Record]]
) -> list[dict[str, Any]]:
    """Return one line for each space, halves of a tandem together."""
    by_number: dict[int, list[tuple[str, Record]]] = {}
    for key, record in sorted(rows, key=lambda row: row[0]):
        number = record.get("number")
        if isinstance(number, int):
            by_number.setdefault(number, []).append((key, record))
    covered = _covered(columns, by_number)
    return [
        _space(numbered, number, halves)
        for number, halves in sorted(by_number.items())
        if number not in covered
    ]


def _covered(
    columns: int, by_number: Mapping[int, list[tuple[str, Record]]]
) -> frozenset[int]:
    """Return the numbers that a device of several poles above them takes up."""
    taken: set[int] = set()
    for number in sorted(by_number):
        if number not in taken:
            poles = max(int(r.get("poles") or 1) for _, r in by_number[number])
            taken |= {number + columns * pole for pole in range(1, poles)}
    return frozenset(taken)


def _space(
    numbered: Numbered, number: int, halves: list[tuple[str, Record]]
) -> dict[str, Any]:
    first = halves[0][1]
    amps = first.get("amps")
    fitted = first.get("space_kind") in FITTED
    fits = fitted and isinstance(amps, int) and amps <= MOST_AMPS
    return {
        "number": number,
        "kind": str(first.get("space_kind") or "not_read"),
        "amps": amps if fits else None,
        "poles": int(first.get("poles") or 1),
        "size": str(first.get("size") or ""),
        "material": _value(first, "material"),
        "how": words.say("conductor_how", first.get("how")),
        "label": words.line(_label(halves)),
        "state": str(first.get("state") or ""),
        "protection": words.say("protections", first.get("protection")),
        "findings": numbered.about(*(key for key, _ in halves)),
    }


def _label(halves: list[tuple[str, Record]]) -> str:
    labels = [str(r.get("label") or "").strip() for _, r in halves]
    if len(halves) > 1:
        both = [f"{r.get('amps') or '?'} A {t}".strip() for (_, r), t in _pairs(halves)]
        return f"two in one space: {'; '.join(both)}"
    if halves[0][1].get("tandem"):
        return f"{labels[0]} (two breakers in one space)".strip()
    return labels[0]


def _pairs(
    halves: list[tuple[str, Record]],
) -> Iterator[tuple[tuple[str, Record], str]]:
    return ((half, str(half[1].get("label") or "")) for half in halves)


def _notes(record: Record, rows: list[tuple[str, Record]]) -> Iterator[str]:
    say = words.table()["panel_notes"]
    if record.get("cover_removed") == "left_on":
        reason = str(record.get("cover_reason") or "").strip()
        because = f", because {reason}" if reason else ""
        yield words.sentence(f"{say['cover_left_on']}{because}")
    elif record.get("cover_removed") == "removed":
        yield say["opened_and_put_back"]
    for field in ("neutral_and_ground", "labels"):
        if text := say[field].get(str(record.get(field))):
            yield text
    if "map_done" in record and not record["map_done"]:
        yield say["map_open"]
    unread = sum(1 for _, r in rows if r.get("space_kind") == "not_read")
    if unread:
        yield say["not_read"].format(n=unread)
    yield from _how_sized(rows)
    yield from _working_space(record)


def _how_sized(rows: list[tuple[str, Record]]) -> Iterator[str]:
    """Say how the sizes of the conductors are known."""
    found = Counter(
        str(r["how"]) for _, r in rows if r.get("how") and r.get("space_kind") in FITTED
    )
    parts = [
        f"{words.say('conductor_how', how)} at {found[how]}"
        for how in ("read", "compared", "estimated", "not_seen")
        if found[how]
    ]
    if parts:
        yield f"Conductor sizes: {words.listed(parts)}."


def _working_space(record: Record) -> Iterator[str]:
    parts = [
        f"{record[field]} in {noun}"
        for field, noun in (
            ("working_width_in", "wide"),
            ("working_depth_in", "deep"),
            ("working_height_in", "high"),
        )
        if record.get(field)
    ]
    if parts:
        yield f"Room in front of it: {words.listed(parts)}."
