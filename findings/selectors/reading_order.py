"""Findings in the order a report reads: along the route, the graver first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from findings.models import Finding
from findings.standards import front, matching

HOUSE: Final = "The house as a whole"
OLDER: Final = "Older rules, newer habits"
# What a date alone decides, where nothing can hurt or harm, is told in one box.
BY_DATE: Final = frozenset({"met_then_safer_now", "depends_on_adoption"})
BOXED: Final = frozenset({"old_for_kind", "upkeep"})


@dataclass(frozen=True, slots=True)
class Numbered:
    """A finding with its number and the place it is printed under."""

    row: Finding
    number: int
    place: str

    @property
    def consequence(self) -> str:
        return self.row.consequence

    @property
    def timing(self) -> str:
        return self.row.timing


def in_reading_order(
    records: Mapping[str, Mapping[str, Any]], rows: Iterable[Finding]
) -> tuple[Numbered, ...]:
    """Return the findings with numbers; the box about older rules comes last."""
    stops = dict(matching.stops_by_route(records))
    names = {
        key: str(stop.get("name") or "Unnamed place") for key, stop in stops.items()
    }
    placed = [(row, _place(names, row)) for row in rows]
    order = [*dict.fromkeys(names.values()), HOUSE, OLDER]
    found: list[Numbered] = []
    for place in order:
        here = [row for row, at in placed if at == place]
        for row in front.body_order(here):
            found.append(Numbered(row, len(found) + 1, place))
    return tuple(found)


def _place(names: Mapping[str, str], row: Finding) -> str:
    outcome = (row.proposal or {}).get("outcome")
    if outcome in BY_DATE and row.consequence in BOXED:
        return OLDER
    said = [name for place in row.places if (name := _named(names, str(place)))]
    own = names.get(str(row.stop or ""), "")
    # The inspector's accepted change of place stands before where it was recorded.
    if own and (not said or own in said):
        return own
    return said[0] if said else HOUSE


def _named(names: Mapping[str, str], said: str) -> str:
    """Return the stop that words such as "Garage, left wall" speak of."""
    fits = [n for n in names.values() if said == n or said.startswith(f"{n},")]
    return max(fits, key=len, default="")
