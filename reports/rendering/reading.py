"""Read a snapshot and refuse it, by name, when a part is wrong or points nowhere."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import msgspec

from reports.rendering.schema import Snapshot


class BadSnapshot(ValueError):
    """The snapshot cannot be what was released; the message names the part."""


def from_builtins(plain: Mapping[str, Any]) -> Snapshot:
    """Return the snapshot; raises BadSnapshot naming the field."""
    try:
        snapshot = msgspec.convert(plain, Snapshot, strict=True)
    except msgspec.ValidationError as error:
        raise BadSnapshot(str(error)) from error
    return _checked(snapshot)


def from_bytes(raw: bytes) -> Snapshot:
    """Return the snapshot held in JSON bytes; raises BadSnapshot."""
    try:
        snapshot = msgspec.json.decode(raw, type=Snapshot, strict=True)
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise BadSnapshot(str(error)) from error
    return _checked(snapshot)


def _checked(snapshot: Snapshot) -> Snapshot:
    for problem in _problems(snapshot):
        raise BadSnapshot(problem)
    return snapshot


def _problems(snapshot: Snapshot) -> Iterator[str]:
    known = {
        "finding": [finding.id for finding in snapshot.findings],
        "photo": [photo.id for photo in snapshot.photos],
        "place": [place.id for place in snapshot.places],
    }
    for noun, ids in known.items():
        yield from _twice(noun, ids)
    yield from _numbering(snapshot)
    sets = {noun: set(ids) for noun, ids in known.items()}
    for where, noun, ref in _references(snapshot):
        if ref not in sets[noun]:
            yield f"{where}: no {noun} with the id {ref!r} in this snapshot"
    yield from _panels(snapshot)


def _twice(noun: str, ids: list[str]) -> Iterator[str]:
    seen: set[str] = set()
    for one in ids:
        if one in seen:
            yield f"two {noun}s share the id {one!r}"
        seen.add(one)


def _numbering(snapshot: Snapshot) -> Iterator[str]:
    numbers = [finding.number for finding in snapshot.findings]
    if numbers != list(range(1, len(numbers) + 1)):
        yield "findings: numbers must run 1, 2, 3 … in the order given"


def _references(snapshot: Snapshot) -> Iterator[tuple[str, str, str]]:
    yield from _all("front.items", "finding", snapshot.front.items)
    if snapshot.cover_photo is not None:
        yield "cover_photo", "photo", snapshot.cover_photo
    for finding in snapshot.findings:
        where = f"findings[{finding.number}]"
        yield f"{where}.place_id", "place", finding.place_id
        yield from _all(f"{where}.places", "place", finding.places)
        yield from _all(f"{where}.photos", "photo", finding.photos)
    for place in snapshot.places:
        yield from _all(f"places[{place.id}].findings", "finding", place.findings)
        yield from _all(f"places[{place.id}].photos", "photo", place.photos)
    for system in snapshot.systems:
        yield from _all(f"systems[{system.key}].findings", "finding", system.findings)
    for photo in snapshot.photos:
        yield f"photos[{photo.id}].place", "place", photo.place
    for item in snapshot.rechecked:
        where = f"rechecked[{item.number}]"
        yield from _all(where, "photo", (*item.before, *item.after))
    yield from _electrical_references(snapshot)


def _electrical_references(snapshot: Snapshot) -> Iterator[tuple[str, str, str]]:
    for panel in snapshot.panels:
        yield from _all(f"panels[{panel.id}].findings", "finding", panel.findings)
        for space in panel.spaces:
            where = f"panels[{panel.id}].spaces[{space.number}]"
            yield from _all(where, "finding", space.findings)
    for row in snapshot.receptacles.rows:
        odd = [one.finding for one in row.odd]
        yield from _given(f"receptacles[{row.place}]", odd)
    yield from _given("alarms", [alarm.finding for alarm in snapshot.alarms])
    yield from _given("urgent", [urgent.finding for urgent in snapshot.urgent])


def _panels(snapshot: Snapshot) -> Iterator[str]:
    for panel in snapshot.panels:
        numbers = [space.number for space in panel.spaces]
        if len(set(numbers)) != len(numbers):
            yield f"panels[{panel.id}].spaces: a number is given twice"
        if panel.size and numbers and max(numbers) > panel.size:
            yield f"panels[{panel.id}].spaces: a number above its {panel.size} spaces"


def _all(where: str, noun: str, refs: Iterable[str]) -> Iterator[tuple[str, str, str]]:
    return ((where, noun, ref) for ref in refs)


def _given(where: str, refs: Iterable[str | None]) -> Iterator[tuple[str, str, str]]:
    return ((where, "finding", ref) for ref in refs if ref is not None)
