"""The enclosure itself: a new one at a stop, or one that is on the map."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.http import Http404

from findings.selectors.field.ground import Ground, Record
from findings.selectors.field.rows import ItemPage


@dataclass(frozen=True, slots=True)
class AskedEnclosure:
    """What the form of an enclosure shows, and what is written beside it."""

    page: ItemPage
    record: Record
    shown: int
    fixed: Mapping[str, Any]
    choices: Mapping[str, list[tuple[str, str]]]


def asked(base: Ground, enclosure_id: UUID, stop: str) -> AskedEnclosure:
    """Return an enclosure's form; a new one needs a stop. Raises Http404."""
    key = str(enclosure_id)
    record: Record = base.records.get(key, {})
    if record and record.get("kind") != "enclosure":
        raise Http404
    here = str(record.get("stop") or stop)
    if not record:
        base.of("stop", stop)
    apart = base.apart(key)
    page = ItemPage(
        head=base.head,
        stop_name=str(record.get("name") or base.seen.stop_name(here)),
        stop_url=base.url("panel-map", key) if record else base.url("stop-read", here),
        title="The enclosure" if record else "A panel or shut-off",
        intro=base.seen.stop_name(here),
        meaning=f"Two devices said: {'; '.join(apart)}. What you save here settles it."
        if apart
        else "",
        submit_words="Save, to the map",
    )
    return AskedEnclosure(
        page=page,
        record=record or {"spaces": 20, "columns": 2},
        shown=base.shown,
        fixed={} if record else {"stop": here},
        choices=_choices(base, key),
    )


def _choices(base: Ground, key: str) -> dict[str, list[tuple[str, str]]]:
    others = [
        (rec, str(record.get("name") or "another panel"))
        for rec, record in base.seen.of_kind("enclosure")
        if rec != key
    ]
    names = dict(others)
    spaces = [
        (
            rec,
            f"{names[panel]}, space {record.get('number')}",
            int(record.get("number") or 0),
        )
        for rec, record in base.seen.of_kind("space")
        if (panel := str(record.get("enclosure"))) in names
        and record.get("load") in {"feeder", None}
        and record.get("space_kind") in {"breaker", "fuse", "pull_out"}
    ]
    ordered = sorted(spaces, key=lambda one: (one[1].split(",")[0], one[2]))
    return {"fed_from": others, "fed_by_space": [(a, b) for a, b, _ in ordered]}
