"""Finds the records of a folded visit that a pack's line speaks of."""

from collections.abc import Iterator, Mapping
from typing import Any, TypeAlias

from findings.standards.loader import words_for_values
from findings.standards.schema_base import Match, Where

Record: TypeAlias = Mapping[str, Any]
Folded: TypeAlias = Mapping[str, Record]
Conflicts: TypeAlias = Mapping[tuple[str, str], Any]


def matches(record: Record, where: Match) -> bool:
    """Say whether every named field of a record has a wanted value."""
    return all(_fits(record.get(field), want) for field, want in where.items())


def _fits(value: Any, want: Any) -> bool:
    if isinstance(want, list):
        return value in want
    if isinstance(want, dict):
        return _within(value, want)
    return bool(value == want)


def _within(value: Any, limits: Mapping[str, float]) -> bool:
    try:
        number = float(value)
    except (TypeError, ValueError):
        return False
    low, high = limits.get("min", float("-inf")), limits.get("max", float("inf"))
    return low <= number <= high


def records(folded: Folded, where: Where) -> Iterator[tuple[str, Record]]:
    """Yield the records a line speaks of, in a stable order."""
    for record_id in sorted(folded):
        record = folded[record_id]
        if record.get("kind") == where.record and matches(record, where.where):
            yield record_id, record


def any_of(folded: Folded, lines: tuple[Where, ...]) -> bool:
    """Say whether any line finds a record."""
    return any(True for line in lines for _ in records(folded, line))


def stops_by_route(folded: Folded) -> list[tuple[str, Record]]:
    """Return the stops in the order of the route."""
    stops = [(i, r) for i, r in folded.items() if r.get("kind") == "stop"]
    # As inspections.log.route.in_order, which plain facts of a state do not know.
    return sorted(stops, key=lambda one: (str(one[1].get("pos") or "~"), one[0]))


def holds(record: Record, fields: tuple[str, ...]) -> bool:
    """Say whether a record has a value in every field."""
    return all(record.get(field) not in (None, "", []) for field in fields)


def sentence(template: str, record: Record) -> str:
    """Fill a pack's sentence from a record, values in plain words."""
    words = words_for_values()
    values = {k: words.get(str(v), str(v)) for k, v in record.items()}
    values.setdefault("name", "Panel")
    return template.format_map(values).strip()
