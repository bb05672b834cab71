"""Named facts computed from lists and readings before a rule's conditions run."""

import itertools
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from findings.rules import exact

PAIRS = (("N", "G"), ("H", "N"), ("H", "G"))
LIT_FROM_V = 90  # a neon lamp strikes well below 120 V; common practice


def wall_gaps(
    length: Any, positions: Any, otherwise: Any = None
) -> dict[str, Any] | None:
    """How far receptacles stand from the ends of a wall and from each other.

    ends is the larger distance to an end, between the largest distance of two
    neighbours, largest the larger of all; an empty wall is all one end.
    """
    whole = exact.parse(otherwise if length is None else length)
    if not isinstance(positions, list):
        return None
    places = [exact.parse(exact.from_any(p)) for p in positions]
    if any(place is None for place in places):
        return None
    found = sorted(place for place in places if place is not None)
    between = max((b - a for a, b in itertools.pairwise(found)), default=Fraction(0))
    result: dict[str, Any] = {"count": len(found), "between": exact.to_wire(between)}
    if whole is not None:
        ends = max(found[0], whole - found[-1]) if found else whole
        result["ends"] = exact.to_wire(ends)
        # With one receptacle or none there is no gap between two of them.
        result["largest"] = exact.to_wire(between if len(found) > 1 else ends)
    return result


def lamps(*states: Any) -> dict[str, Any]:
    """Give the lit pairs as one key, in the order NG HN HG; dim lamps give no key."""
    dim = "dim" in states
    if dim or None in states:
        return {"key": None, "dim": True if dim else None}
    lit = [a + b for (a, b), on in zip(PAIRS, states, strict=True) if on == "on"]
    return {"key": " ".join(lit), "dim": False}


def potentials(slots: Any) -> dict[str, Any]:
    """Give the lit pairs that slot voltages would give; an open slot lights none."""
    if not isinstance(slots, Mapping):
        return {"key": None}
    volts = {str(name)[:1].upper(): exact.parse(v) for name, v in slots.items()}
    if not {"H", "N", "G"} <= set(volts):
        return {"key": None}
    lit = []
    for one, two in PAIRS:
        a, b = volts[one], volts[two]
        if a is not None and b is not None and abs(a - b) >= LIT_FROM_V:
            lit.append(one + two)
    return {"key": " ".join(lit)}


FAULT_WORDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("reversed_and_open_ground", ("revers", "open ground")),
    ("reversed_bootleg", ("revers", "bootleg")),
    ("bootleg", ("bootleg",)),
    ("neutral_ground_swapped", ("neutral", "ground", "swap")),
    ("two_hots_same_leg", ("two hots", "same")),
    ("two_hots_opposite_legs", ("two hots", "opposite")),
    ("high_resistance", ("high", "resistance")),
    ("weak_ground", ("ground", "weak")),
    ("weak_ground", ("undersize",)),
    ("overfused_or_aluminium", ("overfus",)),
    ("overfused_or_aluminium", ("alumin",)),
    ("gfci_miswired", ("gfci",)),
)


def fault_name(words: Any) -> dict[str, Any]:
    """Give the fault a simulation names, from its words."""
    text = str(words or "").lower().replace("_", " ")
    for key, parts in FAULT_WORDS:
        if text and all(part in text for part in parts):
            return {"key": key}
    return {"key": None}


def oldest(things: Any) -> dict[str, Any]:
    """Give the earliest year of making in a list of things."""
    years = [
        thing["made_year"]
        for thing in (things if isinstance(things, list) else [])
        if isinstance(thing, Mapping) and isinstance(thing.get("made_year"), int)
    ]
    return {"year": min(years, default=None)}


DERIVED: dict[str, Callable[..., Any]] = {
    "wall_gaps": wall_gaps,
    "lamps": lamps,
    "potentials": potentials,
    "fault_name": fault_name,
    "oldest": oldest,
}
