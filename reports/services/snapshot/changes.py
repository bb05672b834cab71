"""What a correction changed against the issue it replaces, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Protocol

import msgspec

from firm.actor import Actor
from inspections.models import Visit
from reports.models import Release
from reports.rendering import reading
from reports.rendering.schema import Replaced
from reports.services.snapshot import words

Plain = Mapping[str, Any]

PARTS = (
    ("limits", "What could not be seen"),
    ("places", "What was looked at, place by place"),
    ("panels", "The panels"),
    ("receptacles", "The receptacles"),
    ("alarms", "The alarms"),
    ("measurements", "The figures"),
    ("older_rules", "The notes on older rules"),
    ("photos", "The pictures"),
    ("told", "What was told on the day"),
    ("people", "The people named"),
    ("property", "What is said of the house"),
)


class Correction(Protocol):
    """Why there is a further issue, and who asked for it."""

    @property
    def reason(self) -> str: ...
    @property
    def asked_by(self) -> str: ...


def replaced(earlier: Release, correction: Correction) -> Replaced:
    """Return what the new issue says of the one it replaces."""
    before = reading.from_bytes(bytes(earlier.snapshot))
    return Replaced(
        issue=earlier.issue,
        issued_local=before.issued_local,
        reason=words.line(correction.reason),
        asked_by=words.say("asked_by", correction.asked_by),
    )


def with_changes(actor: Actor, visit: Visit, told: Replaced, now: Plain) -> Replaced:
    """Add what changed, by comparing both issues part by part."""
    row = Release.objects.filter(firm=actor.firm, visit=visit, issue=told.issue).first()
    if row is None or told.changes:
        return told
    before = msgspec.json.decode(bytes(row.snapshot))
    return msgspec.structs.replace(told, changes=tuple(changes(before, now)))


def changes(before: Plain, now: Plain) -> Iterator[str]:
    """Yield one sentence for each finding and each part that differs."""
    old = {one["id"]: one for one in before["findings"]}
    new = {one["id"]: one for one in now["findings"]}
    for key, one in new.items():
        if key not in old:
            yield f"Finding {one['number']} is new: {_named(one)}."
        else:
            yield from _changed(old[key], one)
    for key, one in old.items():
        if key not in new:
            yield f"No longer a finding: {_named(one)}."
    for part, says in PARTS:
        if _plain(before.get(part)) != _plain(now.get(part)):
            yield f"{says} changed."


def _changed(old: Plain, new: Plain) -> Iterator[str]:
    which = f"Finding {new['number']} ({_named(new)})"
    if old["words"] != new["words"] or old["age_note"] != new["age_note"]:
        yield f"{which}: its words changed."
    if old["sentence"] != new["sentence"]:
        yield f"{which}: it said “{old['sentence']}”."
    if old["place"] != new["place"]:
        yield f"{which}: its place was {old['place']}."
    if old["photos"] != new["photos"]:
        yield f"{which}: its pictures changed."


def _named(one: Plain) -> str:
    return f"{one['place']}, {one['item'] or one['system']}"


def _plain(value: Any) -> Any:
    """Return a part without its references to findings: those are told apart."""
    if isinstance(value, Mapping):
        return {
            key: _plain(inner)
            for key, inner in value.items()
            if key not in ("finding", "findings", "signed_local")
        }
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    return value
