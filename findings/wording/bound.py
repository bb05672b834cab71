"""Blanks tied to what is recorded: the one value that a stop has, or none."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any, Final

from findings.wording.passages import Passage

# kind.field of fixtures/vocabulary/records.yaml; a measure by what was measured.
TIED: Final = re.compile(r"([a-z_]+)\.([a-z][a-zA-Z0-9_]*)")
MEASURE: Final = "measure"


def values_for(
    passage: Passage, records: Iterable[Mapping[str, Any]]
) -> dict[str, str]:
    """Return what the records of a stop say for the passage's blanks.

    Two records that differ say nothing: which of them is meant, only a person knows.
    """
    held = list(records)
    found = {}
    for blank, tied in passage.binds.items():
        match = TIED.fullmatch(tied)
        values = {v for r in held if match and (v := _value(r, match[1], match[2]))}
        if len(values) == 1:
            found[blank] = values.pop()
    return found


def _value(record: Mapping[str, Any], kind: str, field: str) -> str:
    if record.get("kind") != kind:
        return ""
    if kind == MEASURE:
        same = record.get("what") == field
        return str(record.get("value") or "") if same else ""
    value = record.get(field)
    return str(value) if isinstance(value, str | int | float) and value != "" else ""
