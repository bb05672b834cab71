"""Places along the route: how they were looked at, what was, and what is shown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from findings.standards.coverage import by_place
from findings.standards.ledger import Row
from reports.services.snapshot import limits, photos, words
from reports.services.snapshot.findings import Numbered
from reports.services.snapshot.limits import Gap
from reports.services.snapshot.material import HOUSE, Material


def printed(
    material: Material, numbered: Numbered, found: tuple[Gap, ...]
) -> list[dict[str, Any]]:
    """Return the places in route order; the house as a whole last, if it is needed."""
    told = frozenset(str(p) for entry in numbered.entries for p in entry.row.photos)
    looked = _looked(material)
    places = [
        _place(material, numbered, found, stop, told) | {"looked": looked.get(stop, [])}
        for stop in material.route
    ]
    return [
        place
        for place in [*places, _house(material, numbered, told)]
        if _has_something(material, place)
    ]


def _has_something(material: Material, place: Mapping[str, Any]) -> bool:
    record = material.route.get(place["id"])
    # Where one comes and leaves is shown only if something is to be said of it.
    if record is not None and record.get("stop_kind") not in limits.PASSING:
        return True
    if place["id"] == HOUSE and material.rechecks:
        return True  # the photos of before belong to it
    parts = ("looked", "findings", "photos", "limits", "method_words")
    return any(place[part] for part in parts) or place["id"] in _referred(material)


def _referred(material: Material) -> frozenset[str]:
    """Return the places that some printed photo belongs to."""
    shown = photos.ids(material)
    return frozenset(
        material.place_of(p.record) for p in material.pictures if p.id in shown
    )


def _place(
    material: Material,
    numbered: Numbered,
    found: tuple[Gap, ...],
    stop: str,
    told: frozenset[str],
) -> dict[str, Any]:
    record = material.route[stop]
    kind = str(record.get("stop_kind") or "")
    use = record.get("room_use") if kind == "room" else None
    return {
        "id": stop,
        "name": words.line(material.place_names[stop]),
        "kind": words.say("rooms", use) or words.say("stop_kinds", kind),
        "floor": words.say("floors", record.get("floor")),
        "corner": _corner(record),
        "method_words": _method(record),
        "findings": _findings(numbered, stop),
        "photos": photos.at_place(material, stop, told),
        "limits": limits.at_place(material, found, stop),
    }


def _corner(record: Mapping[str, Any]) -> str:
    """Return where in the house it lies, unless the place's name says so already."""
    said = words.say("corners", record.get("corner"))
    return "" if said.lower() in str(record.get("name") or "").lower() else said


def _house(
    material: Material, numbered: Numbered, told: frozenset[str]
) -> dict[str, Any]:
    return {
        "id": HOUSE,
        "name": material.place_names[HOUSE],
        "kind": "",
        "looked": [],
        "findings": _findings(numbered, HOUSE),
        "photos": photos.at_place(material, HOUSE, told),
        "limits": [],
        "method_words": "",
    }


def _findings(numbered: Numbered, place: str) -> list[str]:
    return [entry.id for entry in numbered.entries if place in entry.places]


def _method(record: Mapping[str, Any]) -> str:
    method = words.say("methods", record.get("method"))
    reason = words.sentence(str(record.get("method_reason") or ""))
    return f"{method} {reason}".strip() if method else ""


def _looked(material: Material) -> dict[str, list[str]]:
    """Return the coverage ledger by place, in sentences."""
    rows = [
        row for row in material.rows if row.stop and not _of_a_system(material, row)
    ]
    found = {
        one.stop: [words.sentence(text) for text in one.sentences]
        for one in by_place(material.ledger(rows))
    }
    for stop, text in _looked_none(material):
        found.setdefault(stop, []).append(text)
    return found


def _of_a_system(material: Material, row: Row) -> bool:
    """Say whether a line is told with its system: a description, a test."""
    duty = material.seen.pack.duty(row.duty)
    return duty.duty == "describe" or duty.tested is not None


def _looked_none(material: Material) -> Iterator[tuple[str, str]]:
    for _, record in material.seen.of_kind("alarm_look"):
        kind = words.say("alarms", record.get("alarm_kind"), "Smoke").lower()
        yield material.place_of(record), f"Looked for a {kind} alarm; none seen."
    for _, record in material.seen.of_kind("observation"):
        what = words.plainly(record.get("what") or record.get("item") or "")
        if record.get("answer") == "looked_none" and what:
            yield material.place_of(record), f"Looked for: {what}. None seen."
