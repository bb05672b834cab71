"""Making the stops of a visit's route from a route in the data folder."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any, Final
from uuid import uuid5

from findings.selectors.field.routes import Room, Route, RouteStop, route
from firm.actor import Actor
from firm.errors import BadInput
from inspections.models import Visit
from inspections.selectors.folded import folded
from inspections.services import pages

STEP: Final = 10  # room between two stops of a route for one that comes later
DETAILS: Final = ("room_use", "floor", "corner", "has_sink", "countertop")


def start(
    *, actor: Actor, visit: Visit, counts: Mapping[str, int], now: datetime
) -> None:
    """Write the arrival and every stop, all or none; a repeat adds nothing.

    Raises NotAllowed, and BadInput when the visit has a route already.
    """
    records, _ = folded(actor, visit)
    if any(record["kind"] == "stop" for record in records.values()):
        raise BadInput("This visit has a route already.")
    stops = [
        pages.Typed(str(uuid5(visit.pk, f"stop:{key}")), "stop", fields)
        for key, fields in _stops(route(), counts)
    ]
    own = {} if records.get(str(visit.pk)) else {"arrived_at": instant(now)}
    arrived = pages.Typed(str(visit.pk), "visit", own)
    pages.write(
        actor=actor,
        visit=visit,
        shown=visit.version,
        typed=[arrived, *stops],
        now=now,
    )


def instant(at: datetime) -> str:
    """Return a moment as the log writes it."""
    return at.strftime("%Y-%m-%dT%H:%M:%SZ")


def _stops(
    plan: Route, counts: Mapping[str, int]
) -> Iterator[tuple[str, dict[str, Any]]]:
    position = 0
    every: list[RouteStop | Room] = [*plan.before, *plan.rooms, *plan.after]
    for one in every:
        times = _times(one, counts)
        for number in range(1, times + 1):
            position += STEP
            name = one.name if times == 1 else f"{one.name} {number}"
            yield f"{one.key}:{number}", _fields(one, name, position)


def _times(one: RouteStop | Room, counts: Mapping[str, int]) -> int:
    if isinstance(one, RouteStop) and not one.asked:
        return 1
    return min(one.most, max(0, counts.get(one.key, one.usual)))


def _fields(one: RouteStop | Room, name: str, position: int) -> dict[str, Any]:
    told = {key: getattr(one, key, None) for key in DETAILS}
    return {
        "name": name,
        "stop_kind": one.stop_kind,
        "pos": f"r{position:05d}",
        **{key: value for key, value in told.items() if value},
    }
