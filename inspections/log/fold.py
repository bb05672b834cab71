"""What a log means: a function of the set of its entries, of no order and no clock.

An entry is a mapping as the change feed carries it: id, rec, field, value, seen, and,
once the server has it, v (its version) and status. A head is an entry of a field that
no entry of the same field has in its `seen`. One head is the value; several with
different values are an open conflict. The same rule stands in the field client; both
are held to fixtures/vectors/fold.json.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

Entry = Mapping[str, Any]
Folded = dict[str, dict[str, Any]]
Conflicts = dict[tuple[str, str], list[Any]]

KIND: Final = "kind"
GONE: Final = "_gone"


@dataclass(frozen=True, slots=True)
class Fold:
    """Records by id, open conflicts by (record, field), and what waits for a kind.

    A null takes a field out of its record. The value shown among several is the one
    with the lowest version. A conflict about `_gone` lists what its heads say: [true]
    alone means that somebody deleted the record while somebody else changed it.
    """

    records: Folded
    conflicts: Conflicts
    kindless: list[str]


def fold(entries: Iterable[Entry]) -> Fold:
    """Fold any collection of entries; duplicates and order make no difference."""
    return view(heads(entries))


def heads(entries: Iterable[Entry]) -> list[Entry]:
    """Return the entries that nothing of their own field has covered."""
    live = applied(entries)
    covered: dict[tuple[str, str], set[str]] = defaultdict(set)
    for entry in live:
        covered[entry["rec"], entry["field"]].update(entry["seen"])
    return [
        entry
        for entry in live
        if entry["id"] not in covered[entry["rec"], entry["field"]]
    ]


def applied(entries: Iterable[Entry]) -> list[Entry]:
    """Return each entry once, without those set apart that nobody has let in."""
    chosen: dict[str, Entry] = {}
    released: set[str] = set()
    for entry in entries:
        if entry.get("release"):
            released.add(entry["release"])
            continue
        # What came back from the server knows more than the device's own copy.
        held = chosen.get(entry["id"])
        if held is None or _order(entry) < _order(held):
            chosen[entry["id"]] = entry
    return [
        entry
        for entry in chosen.values()
        if entry["id"] in released or entry.get("status", "ok") == "ok"
    ]


def view(heads_of_visit: Iterable[Entry]) -> Fold:
    """Return the records and conflicts that a set of heads amounts to."""
    by_record: dict[str, dict[str, list[Entry]]] = defaultdict(
        lambda: defaultdict(list)
    )
    for head in sorted(heads_of_visit, key=_order):
        by_record[head["rec"]][head["field"]].append(head)
    result = Fold({}, {}, [])
    for rec in sorted(by_record):
        fields = by_record[rec]
        if not _is_gone(fields):
            _add_record(result, rec, fields)
    return result


def same(one: Any, other: Any) -> bool:
    """Say whether two JSON values are equal; true is not 1."""
    return value_key(one) == value_key(other)


def value_key(value: Any) -> str:
    """Return a text that is equal for equal JSON values and no others."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"))


def distinct(values: Iterable[Any]) -> list[Any]:
    """Return the values without repeats, in the order they came."""
    kept: dict[str, Any] = {}
    for value in values:
        kept.setdefault(value_key(value), value)
    return list(kept.values())


def _add_record(result: Fold, rec: str, fields: Mapping[str, list[Entry]]) -> None:
    record: dict[str, Any] = {}
    for field in sorted(fields):
        values = distinct(head["value"] for head in fields[field])
        deleted_beside_change = field == GONE and any(v is True for v in values)
        if len(values) > 1 or deleted_beside_change:
            result.conflicts[rec, field] = values
        if field != GONE and values[0] is not None:
            record[field] = values[0]
    if KIND in record:
        result.records[rec] = record
    else:
        result.kindless.append(rec)


def _is_gone(fields: Mapping[str, list[Entry]]) -> bool:
    """Say whether every head of the record was seen by those who deleted it."""
    verdicts = fields.get(GONE, [])
    if not verdicts or any(head["value"] is not True for head in verdicts):
        return False
    seen = {id_ for head in verdicts for id_ in head["seen"]}
    return all(
        head["id"] in seen
        for field, of_field in fields.items()
        if field != GONE
        for head in of_field
    )


def _order(entry: Entry) -> tuple[bool, int, str]:
    version = entry.get("v")
    return (version is None, version or 0, entry["id"])
