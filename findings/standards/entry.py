"""Measured ways into a space: when a state lets a tight space go unentered."""

from collections.abc import Iterator

from findings.standards.matching import Folded, Record
from findings.standards.schema_asks import AccessLimit, Asks

# Measures of a way in, as they are said.
SAID = {
    "hatch_long_in": "the long side of the opening",
    "hatch_short_in": "the short side of the opening",
    "headroom_in": "the room under the joists or rafters",
    "beam_clear_in": "the room under the beams",
}
ENTERED = ("entered", "walked")


def limits_for(asks: Asks, space: str) -> list[AccessLimit]:
    """Return the limits for a kind of space."""
    return [one for one in asks.access_limits if one.space in (space, "any")]


def too_small(asks: Asks, way_in: Record, space: str) -> str:
    """Return, as a reason, what measured smaller than a state asks; empty if none.

    An estimate decides nothing: a figure counts where it was measured. On the limit
    is large enough.
    """
    found = [
        f"{SAID[field]} measures {value:g} in, entry is asked from {least:g} in"
        for field, value, least in _measures(asks, way_in, space)
        if value is not None and value < least
    ]
    return "; ".join(dict.fromkeys(found))


def big_enough(asks: Asks, way_in: Record, space: str) -> bool:
    """Say whether every measure that a state names was taken and is enough."""
    taken = _measures(asks, way_in, space)
    return bool(taken) and all(v is not None and v >= least for _, v, least in taken)


def tight_stops(asks: Asks, folded: Folded) -> Iterator[Record]:
    """Yield, as limits, the stops that were not entered and need not have been."""
    for record_id in sorted(folded):
        way_in = folded[record_id]
        stop_id = str(way_in.get("stop") or "")
        stop = folded.get(stop_id, {})
        if way_in.get("kind") != "way_in" or stop.get("method") in ENTERED:
            continue
        space = str(way_in.get("space") or stop.get("stop_kind") or "")
        because = too_small(asks, way_in, space)
        if because and space == stop.get("stop_kind"):
            yield {"reason": "low_clearance", "text": because, "reach": [stop_id]}


def _measures(
    asks: Asks, way_in: Record, space: str
) -> list[tuple[str, float | None, float]]:
    if way_in.get("how_known") != "measured":
        return []
    return [
        (field, _number(way_in.get(field)), least)
        for limit in limits_for(asks, space)
        for field, least in limit.needs.items()
    ]


def _number(value: object) -> float | None:
    try:
        return float(str(value))
    except ValueError:
        return None
