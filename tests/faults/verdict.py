"""Holds what the phones had saved against what the server and the other phones have."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from inspections.log.fold import fold

Rows = Sequence[Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class Verdict:
    """What went wrong, each a number that has to be nothing."""

    lost: int
    doubled: int
    overwritten: int
    diverged: int
    photos_wrong: int
    unconfirmed: int
    versions_missing: int

    @property
    def clean(self) -> bool:
        return not any(asdict(self).values())


def judge(rows: Rows, phones: Sequence[Mapping[str, Any]], photos: Path) -> Verdict:
    """Compare. `rows` is the server's log; `photos` holds the stored files."""
    by_id = {row["id"]: row for row in rows}
    said = Counter(_content(row) for row in rows if not row["release"])
    saved = {one["id"]: one for phone in phones for one in phone["saved"]}
    for phone in phones:
        saved |= _later(phone)
    server = _folded(rows)
    return Verdict(
        lost=len(lost(by_id, saved)),
        doubled=sum(count - 1 for count in said.values()),
        overwritten=sum(
            1
            for key, one in saved.items()
            if key in by_id and set(by_id[key]["seen"]) != set(one["seen"])
        ),
        diverged=sum(1 for phone in phones if _told(phone["fold"]) != server),
        photos_wrong=sum(
            1
            for phone in phones
            for _, sha256 in phone["photos"]
            if not _is_there(photos, sha256)
        ),
        unconfirmed=sum(int(phone["unconfirmed"]) for phone in phones),
        versions_missing=len(rows) and rows[-1]["v"] - len(rows),
    )


def _later(phone: Mapping[str, Any]) -> dict[str, Mapping[str, Any]]:
    """Return entries whose later value is on disk though nobody was told so.

    A phone that died just after a commit never said that it had saved.
    """
    order = {json.dumps(value): at for at, value in enumerate(phone["tried"])}
    told = {one["id"]: one for one in phone["saved"]}

    def turn(one: Mapping[str, Any]) -> int:
        return order.get(json.dumps(one["value"]), -1)

    return {
        one["id"]: one
        for one in phone["own"]
        if one["id"] in told and turn(one) > turn(told[one["id"]])
    }


def lost(
    by_id: Mapping[str, Mapping[str, Any]], saved: Mapping[str, Mapping[str, Any]]
) -> list[tuple[Any, Any]]:
    """Return each saved entry that the server lacks or has otherwise, beside it."""
    return [
        (one, by_id.get(key))
        for key, one in saved.items()
        if _differs(by_id.get(key), one)
    ]


def _content(row: Mapping[str, Any]) -> str:
    """Return what a row says: two rows that say the same are one entry taken twice."""
    parts = [row["rec"], row["field"], row["value"], sorted(row["seen"])]
    # Two people may tick the same thing; a value of the harness is made once only.
    unique = isinstance(row["value"], str) and row["value"].startswith("phone ")
    return json.dumps(parts if unique else [row["id"]], sort_keys=True)


def _differs(row: Mapping[str, Any] | None, one: Mapping[str, Any]) -> bool:
    if row is None:
        return True
    if row["status"] == "quarantined":
        return False  # kept as it came, in its raw bytes
    return any(row[name] != one[name] for name in ("rec", "field", "value"))


def _folded(rows: Rows) -> str:
    result = fold(rows)
    conflicts = [
        {"rec": rec, "field": name, "values": values}
        for (rec, name), values in result.conflicts.items()
    ]
    return _told(
        {
            "records": result.records,
            "conflicts": conflicts,
            "kindless": result.kindless,
        }
    )


def _told(folded: Mapping[str, Any]) -> str:
    return json.dumps(folded, sort_keys=True)


def _is_there(photos: Path, sha256: str) -> bool:
    return any(
        hashlib.sha256(path.read_bytes()).hexdigest() == sha256
        for path in photos.rglob(f"*{sha256}*")
        if path.is_file()
    )
