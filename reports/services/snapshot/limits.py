"""What could not be seen, why, and what the client can do about it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from findings.standards.answers import limit_text
from findings.standards.visit import reach
from reports.services.snapshot import words
from reports.services.snapshot.material import Material

SYSTEM = "system:"
# One comes and one leaves: what is written there is said of the whole house.
PASSING = ("arrival", "leaving")


@dataclass(frozen=True, slots=True)
class Gap:
    """One reason, what it hid, and at which stops; none stands for the whole house."""

    what: tuple[str, ...]
    reason: str
    stops: tuple[str, ...]
    remedy: str


def gaps(material: Material) -> tuple[Gap, ...]:
    """Return every gap once: the recorded reasons first, then what else is open."""
    found = [
        *_recorded(material),
        *_from_ledger(material),
        *_by_method(material),
        *_not_seen(material),
        *_out_of_reach(material),
    ]
    return tuple(dict.fromkeys(found))


def at_place(material: Material, found: tuple[Gap, ...], place: str) -> list[Any]:
    """Return the limits of one place."""
    mine = [gap for gap in found if gap.stops == (place,)]
    return [limit for gap in mine for limit in _limits(material, gap)]


def of_house(material: Material, found: tuple[Gap, ...]) -> list[Any]:
    """Return the limits that reach further than one place."""
    wide = [gap for gap in found if len(gap.stops) != 1]
    return [limit for gap in wide for limit in _limits(material, gap)]


def _limits(material: Material, gap: Gap) -> Iterator[dict[str, Any]]:
    for text in words.fitted(gap.what):
        yield {
            "text": words.capital(text),
            "reason": gap.reason,
            "places": [words.line(material.place_names[stop]) for stop in gap.stops],
            "what_you_can_do": gap.remedy,
        }


def _recorded(material: Material) -> Iterator[Gap]:
    for record in _of_kind(material, "limit"):
        touched = sorted(reach(record))
        stops = tuple(
            stop
            for stop in material.route
            if stop in (touched or _own(material, record))
        )
        reason = words.sentence(_because(record))
        if record.get("told"):
            reason = f"{reason} Told on the day: {words.sentence(str(record['told']))}"
        yield Gap(
            what=_touched(material, record, touched, stops),
            reason=reason,
            stops=stops,
            remedy=words.remedy(
                str(record.get("reason") or "other"), material.visit.purpose
            ),
        )


def _own(material: Material, record: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the stop it was written at, where it says nothing of its reach."""
    stop = str(record.get("stop") or "")
    kind = material.route.get(stop, {}).get("stop_kind")
    return () if kind in PASSING else (stop,)


def _because(record: Mapping[str, Any]) -> str:
    if record.get("reason") in (None, "other") and not record.get("text"):
        return "The reason was not recorded"
    return limit_text(record)


def _touched(
    material: Material,
    record: Mapping[str, Any],
    touched: list[str],
    stops: tuple[str, ...],
) -> tuple[str, ...]:
    """Name what a reason reaches: systems, single items, or what it hid at a stop."""
    pack = material.seen.pack
    items = {duty.id: duty.item for duty in pack.duties}
    named = [
        words.system_label(one.removeprefix(SYSTEM))
        for one in touched
        if one.startswith(SYSTEM)
    ]
    named += [items[one] for one in touched if one in items]
    text = limit_text(record)
    named += [
        row.item
        for row in material.rows
        if row.state == "not_inspected" and row.stop in stops and row.text == text
    ]
    parts = [_part(material, stop) for stop in stops]
    return tuple(named or parts or ["part of the house"])


def _part(material: Material, stop: str) -> str:
    """Name a stop that was left out, or say that a part of it was."""
    name = material.place_names[stop]
    whole = material.route[stop].get("method") == "not_done"
    return name if whole else f"part of {name}"


def _from_ledger(material: Material) -> Iterator[Gap]:
    """Yield what a person left out of a duty's look, grouped by place and reason."""
    known = {limit_text(record) for record in _of_kind(material, "limit")}
    grouped: dict[tuple[str, str], list[str]] = {}
    for row in material.rows:
        if row.state == "not_inspected" and row.text not in known:
            grouped.setdefault((row.stop, row.text), []).append(row.item)
    for (stop, reason), items in grouped.items():
        yield Gap(
            what=tuple(dict.fromkeys(items)),
            reason=words.sentence(reason),
            stops=(stop,) if stop in material.route else (),
            remedy=words.remedy(
                _kind_of(material, reason), material.visit.purpose, gap=True
            ),
        )


def _kind_of(material: Material, reason: str) -> str:
    for record in material.records.values():
        for field, key in (("cover_reason", "cover"), ("method_reason", "method")):
            if record.get(field) == reason:
                return key
    return "could_not_see"


def _by_method(material: Material) -> Iterator[Gap]:
    lesser = words.table()["lesser_methods"]
    for stop, record in material.route.items():
        reason = str(record.get("method_reason") or "").strip()
        if record.get("method") in lesser and reason:
            method = words.say("methods", record["method"]).rstrip(".")
            yield Gap(
                what=(f"parts that cannot be seen {_lower(method)}",),
                reason=words.sentence(reason),
                stops=(stop,),
                remedy=words.remedy("method", material.visit.purpose, gap=True),
            )


def _not_seen(material: Material) -> Iterator[Gap]:
    for record in _of_kind(material, "observation"):
        if record.get("answer") == "could_not_see":
            stop = material.place_of(record)
            yield Gap(
                what=(words.plainly(record.get("what") or record.get("item") or "it"),),
                reason=words.sentence(
                    str(record.get("text") or "It could not be seen on the day")
                ),
                stops=(stop,) if stop in material.route else (),
                remedy=words.remedy("could_not_see", material.visit.purpose, gap=True),
            )


def _out_of_reach(material: Material) -> Iterator[Gap]:
    for stop, record in material.route.items():
        count = record.get("receptacles_not_reachable")
        if isinstance(count, int) and count > 0:
            noun = "receptacle" if count == 1 else "receptacles"
            yield Gap(
                what=(f"{count} {noun}",),
                reason="Out of reach on the day.",
                stops=(stop,),
                remedy=words.remedy("not_reachable", material.visit.purpose, gap=True),
            )


def _of_kind(material: Material, kind: str) -> list[Mapping[str, Any]]:
    return [
        record
        for _, record in sorted(material.seen.of_kind(kind), key=lambda pair: pair[0])
    ]


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
