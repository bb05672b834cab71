"""Named look-up tables: exact rows, or the next row at or above a value."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from findings.rules import exact, operators


@dataclass(frozen=True)
class Table:
    """One table with its source; `match` says how the last key is compared."""

    id: str
    title: str
    keys: tuple[str, ...]
    match: str
    rows: tuple[Mapping[str, Any], ...]
    source: str
    provenance: str

    def find(self, keys: Sequence[Any]) -> Mapping[str, Any] | None:
        """Give the row for these keys, or None."""
        *lead, last = keys
        *lead_names, last_name = self.keys
        rows = [
            row
            for row in self.rows
            if all(_same(row[n], k) for n, k in zip(lead_names, lead, strict=True))
        ]
        if self.match == "exact":
            return next((r for r in rows if _same(r[last_name], last)), None)
        wanted = exact.parse(last)
        if wanted is None:
            return None
        return self._nearest(rows, last_name, wanted)

    def _nearest(
        self, rows: list[Mapping[str, Any]], name: str, wanted: Any
    ) -> Mapping[str, Any] | None:
        above = self.match == "at_least"
        ranked = sorted(
            ((operators.number(row[name]), at) for at, row in enumerate(rows)),
            reverse=not above,
        )
        for value, at in ranked:
            if (value >= wanted) if above else (value <= wanted):
                return rows[at]
        return None


MOST_ROWS = 10_000


class Tables:
    """All tables of a rule set."""

    def __init__(self, tables: Mapping[str, Table]) -> None:
        self.by_id = dict(tables)
        self._rows: dict[Any, Mapping[str, Any] | None] = {}

    def look(self, name: str, column: str, keys: Sequence[Any]) -> Any:
        """Give the cell, or None when there is no such table, row or column."""
        table = self.by_id.get(name)
        if table is None or len(keys) != len(table.keys):
            return None
        row = self._row(table, keys)
        return None if row is None else row.get(column)

    def _row(self, table: Table, keys: Sequence[Any]) -> Mapping[str, Any] | None:
        if any(isinstance(key, list | dict) for key in keys):
            return table.find(keys)
        # True and 1 are equal and are two keys all the same.
        wanted = (table.id, *((type(key), key) for key in keys))
        if wanted not in self._rows:
            if len(self._rows) >= MOST_ROWS:
                self._rows.clear()
            self._rows[wanted] = table.find(keys)
        return self._rows[wanted]


def _same(left: Any, right: Any) -> bool:
    one, two = exact.parse(left), exact.parse(right)
    if one is not None and two is not None:
        return one == two
    return bool(left == right)
