"""The order of a visit's stops: a fractional key each, ties by the record's id."""

from collections.abc import Iterable, Mapping
from typing import Any, Final, TypeVar

R = TypeVar("R", bound=Mapping[str, Any])
LAST: Final = "~"  # a stop that has no place yet comes after those that have one


def in_order(stops: Iterable[tuple[str, R]]) -> list[tuple[str, R]]:
    """Return (id, record) of stops as they are walked; the same as on the phone."""
    return sorted(stops, key=lambda one: (str(one[1].get("pos") or LAST), one[0]))
