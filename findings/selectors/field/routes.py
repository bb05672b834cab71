"""Routes, items and labels of the walk, read once from fixtures/routes."""

from __future__ import annotations

from functools import cache
from typing import Any

from findings.wording.files import FIXTURES, Strict, read

ROUTES = FIXTURES / "routes"


class RouteStop(Strict, frozen=True, kw_only=True):
    """A stop that every such house has, or one that is asked for by number."""

    key: str
    name: str
    stop_kind: str
    corner: str = ""
    floor: str = ""
    asked: bool = False
    most: int = 1
    usual: int = 1


class Room(Strict, frozen=True, kw_only=True):
    """A kind of room, asked for by number."""

    key: str
    name: str
    room_use: str
    usual: int
    most: int
    floor: str = ""
    has_sink: bool = False
    countertop: bool = False
    stop_kind: str = "room"


class Route(Strict, frozen=True, kw_only=True):
    """The stops of a walk through one kind of building."""

    schema: int
    name: str
    before: tuple[RouteStop, ...]
    rooms: tuple[Room, ...]
    after: tuple[RouteStop, ...]

    def asked(self) -> tuple[RouteStop | Room, ...]:
        """Return what a person gives numbers for, rooms among them."""
        first = tuple(one for one in self.before if one.asked)
        last = tuple(one for one in self.after if one.asked)
        return (*first, *self.rooms, *last)


class Ask(Strict, frozen=True, kw_only=True):
    """One thing that is asked of an item, with the unit of its measure."""

    label: str
    unit: str = ""


class Item(Strict, frozen=True, kw_only=True):
    """Something to look at, and the record that it writes."""

    label: str
    record: str
    item: str = ""
    fields: tuple[str, ...] = ()
    ask: dict[str, Ask] = {}
    preset: dict[str, Any] = {}


class Items(Strict, frozen=True, kw_only=True):
    """All items, and where each belongs."""

    schema: int
    items: dict[str, Item]
    everywhere: tuple[str, ...]
    stops: dict[str, tuple[str, ...]]
    rooms: dict[str, tuple[str, ...]]
    method_kinds: tuple[str, ...]
    receptacle_kinds: tuple[str, ...]
    enclosure_kinds: tuple[str, ...]
    cautions: dict[str, tuple[str, ...]]
    plates: dict[str, str]
    duty_answers: dict[str, str]
    phrases: dict[str, tuple[str, ...]]

    def of_stop(self, stop_kind: str, room_use: str) -> tuple[str, ...]:
        """Return the keys of a stop's items, its own first."""
        own = self.rooms.get(room_use, ()) if stop_kind == "room" else ()
        return tuple(
            dict.fromkeys([*own, *self.stops.get(stop_kind, ()), *self.everywhere])
        )


class FieldLabel(Strict, frozen=True, kw_only=True):
    """What a form calls a field."""

    label: str
    hint: str = ""


class KindLabels(Strict, frozen=True, kw_only=True):
    """What a person calls a kind of record and its fields, in the order of the form."""

    title: str
    fields: dict[str, FieldLabel]


class Labels(Strict, frozen=True, kw_only=True):
    """All labels, and the words of values whose key does not read well."""

    schema: int
    kinds: dict[str, KindLabels]
    facts: dict[str, str]
    values: dict[str, str]


@cache
def route() -> Route:
    """Return the route of a detached house, which serves others as a beginning."""
    return read(ROUTES / "detached.yaml", Route)


@cache
def items() -> Items:
    return read(ROUTES / "items.yaml", Items)


@cache
def labels() -> Labels:
    return read(ROUTES / "labels.yaml", Labels)


def value_words(value: Any) -> str:
    """Return a recorded value as a person reads it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(value_words(one) for one in value) or "none"
    if value is None:
        return "not known"
    text = str(value)
    return labels().values.get(text, text.replace("_", " "))
