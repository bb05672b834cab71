"""Receptacles tried room by room, the odd ones in words, and the alarms."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from findings.standards import counting
from findings.standards.visit import as_int
from reports.services.snapshot import words
from reports.services.snapshot.findings import Numbered
from reports.services.snapshot.material import Material

Record = Mapping[str, Any]
AS_IT_SHOULD_BE: Final = frozenset({"hot_neutral", "hot_ground"})
NOT_ASKED: Final = frozenset({None, "general", "dedicated"})
OWN_DEVICE: Final = frozenset({"device", "breaker"})
COUNTED: Final = ("seen", "tried", "correct", "not_reachable")


def printed(material: Material, numbered: Numbered) -> dict[str, Any]:
    """Return the table by place with its totals."""
    odd = _odd_by_place(material, numbered)
    rows = [
        _row(material, place, odd.get(place, []))
        for place in material.place_names
        if odd.get(place) or _counted(material, place)
    ]
    return {
        "rows": rows,
        "totals": {name: sum(row[name] for row in rows) for name in COUNTED},
        "note": _devices(material) if rows else "",
    }


def alarms(material: Material, numbered: Numbered) -> list[dict[str, Any]]:
    """Return the alarms found, along the route."""
    order = {key: n for n, key in enumerate(material.place_names)}
    held = sorted(
        material.seen.of_kind("alarm"),
        key=lambda pair: (order[material.place_of(pair[1])], pair[0]),
    )
    return [
        {
            "place": words.line(material.place_name(record)),
            "kind": words.say("alarms", record.get("alarm_kind"), "Kind not recorded"),
            "power": words.say("power", record.get("power")),
            "made": str(record.get("made_year") or ""),
            "tried": _alarm_tried(record),
            "finding": numbered.first_about(key) or numbered.resting_on(key),
        }
        for key, record in held
    ]


def lamps_words(record: Record) -> str:
    """Say what a three-lamp tester showed, and what it cannot tell."""
    lit = sorted(str(pair) for pair in record.get("lamps") or [])
    if lit:
        return words.say("lamps", "+".join(lit))
    return words.say("lamps", "none") if record.get("lamps_none") else ""


def protection_words(record: Record) -> str:
    """Say what is known of ground-fault protection and of the device itself."""
    kind = record.get("gfci_kind")
    # None found says something only where one is looked for.
    asked = kind != "none" or record.get("receptacle_kind") not in NOT_ASKED
    parts = [words.say("gfci", kind) if asked else ""]
    for field, said in words.table()["gfci_tests"].items():
        tried = record.get(field) != "not_tried" or kind in OWN_DEVICE
        parts.append(said.get(str(record.get(field)), "") if tried else "")
    for field, said in words.table()["receptacle_more"].items():
        parts.append(said.get(str(record.get(field)), ""))
    return words.line("; ".join(part for part in parts if part))


def _alarm_tried(record: Record) -> str:
    parts = [
        words.say("sounded", record.get("sounded")),
        words.say("interconnected", record.get("interconnected")),
    ]
    return "; ".join(part for part in parts if part)


def _counted(material: Material, place: str) -> bool:
    record = material.route.get(place, {})
    return any(record.get(f"receptacles_{name}") for name in COUNTED)


def _row(material: Material, place: str, odd: list[dict[str, Any]]) -> dict[str, Any]:
    record = material.route.get(place, {})
    fields = [f"receptacles_{name}" for name in ("tried", "seen", "not_reachable")]
    noted = [
        one
        for _, one in material.seen.of_kind("receptacle")
        if material.place_of(one) == place
    ]
    tried, seen, unreachable = counting.at_place(record, fields, len(noted))
    correct = as_int(record.get("receptacles_correct"))
    return {
        "place": words.line(material.place_names[place]),
        "seen": seen,
        "tried": tried,
        "correct": max(tried - len(odd), 0) if correct is None else correct,
        "not_reachable": unreachable,
        "odd": odd,
    }


def _odd_by_place(
    material: Material, numbered: Numbered
) -> dict[str, list[dict[str, Any]]]:
    found: dict[str, list[dict[str, Any]]] = {}
    for key, record in sorted(material.seen.of_kind("receptacle"), key=_by_id):
        finding = numbered.first_about(key)
        if finding or _is_odd(record):
            place = material.place_of(record)
            where = str(record.get("place") or "").strip()
            found.setdefault(place, []).append(
                {
                    "where": words.line(where or "one receptacle"),
                    "lamps_words": words.line(lamps_words(record)),
                    "protection_words": protection_words(record),
                    "finding": finding,
                }
            )
    return found


def _by_id(pair: tuple[str, Record]) -> str:
    return pair[0]


def _is_odd(record: Record) -> bool:
    """Say whether something about it is not as it should be."""
    lit = {str(pair) for pair in record.get("lamps") or []}
    if record.get("lamps_none") or (lit and lit != AS_IT_SHOULD_BE):
        return True
    tests = words.table()["gfci_tests"]
    if any(record.get(field) == "no" for field in tests):
        return True
    more = words.table()["receptacle_more"]
    return any(str(record.get(field)) in said for field, said in more.items())


def _devices(material: Material) -> str:
    tried = sum(
        1
        for _, record in material.seen.of_kind("receptacle")
        if record.get("gfci_kind") == "device"
        and record.get("gfci_own_button_trips") in ("yes", "no")
    )
    return f"Ground-fault devices tried by their own button: {tried}." if tried else ""
