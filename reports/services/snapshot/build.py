"""The snapshot of a release: everything a report says, as canonical bytes."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

import msgspec

from firm.actor import Actor
from inspections.models import Visit
from reports.rendering import canonical, reading
from reports.rendering.schema import Replaced
from reports.services.snapshot import (
    ages,
    beside,
    figures,
    findings,
    limits,
    panels,
    people,
    photos,
    places,
    receptacles,
    standing,
    systems,
    words,
)
from reports.services.snapshot.case import case_file
from reports.services.snapshot.changes import replaced, with_changes
from reports.services.snapshot.material import Material, gather
from reports.services.snapshot.versions import versions

__all__ = ["IssueIn", "build", "case_file", "replaced"]

SCHEMA: Final = 1


@dataclass(frozen=True, slots=True)
class IssueIn:
    """Which issue this is, and its place in the firm's chain of releases."""

    issue: int
    issued_at: datetime
    replaces: Replaced | None
    chain_seq: int
    chain_prev: str
    salt: str = ""


def build(*, actor: Actor, visit: Visit, issue: IssueIn) -> bytes:
    """Return the canonical bytes of what a report of this visit says now.

    Raises BadSnapshot, naming the part, when the records cannot make a report.
    """
    material = gather(actor, visit)
    contents = _settled(_contents(material))
    replaces = issue.replaces
    if replaces is not None:
        replaces = with_changes(actor, visit, replaces, contents | _people(material))
    plain = contents | _settled(_heading(material, issue, replaces))
    return canonical.encode(reading.from_builtins(plain))


def _people(material: Material) -> dict[str, Any]:
    return {"property": people.house(material), "people": people.people(material)}


def _heading(
    material: Material, issue: IssueIn, replaces: Replaced | None
) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "kind": "recheck" if material.rechecks else "report",
        "number": material.visit.number,
        "issue": issue.issue,
        "issued_at": words.instant(issue.issued_at),
        "issued_local": words.day(issue.issued_at, material.zone),
        "replaces": msgspec.to_builtins(replaces),
        "firm": people.firm(material),
        "visit": people.visit(material),
        "signatures": people.signatures(material),
        "versions": versions(material),
        "chain": {"seq": issue.chain_seq, "prev": issue.chain_prev},
        "salt": issue.salt,
        **_people(material),
    }


def _contents(material: Material) -> dict[str, Any]:
    numbered = findings.number(material)
    found = limits.gaps(material)
    told = {
        "front": findings.front_page(material, numbered),
        "findings": findings.printed(material, numbered, photos.ids(material)),
        "places": places.printed(material, numbered, found),
        "systems": systems.printed(material, numbered),
        "limits": limits.of_house(material, found),
        "panels": panels.printed(material, numbered),
        "receptacles": receptacles.printed(material, numbered),
        "alarms": receptacles.alarms(material, numbered),
        "measurements": figures.printed(material),
        "older_rules": findings.older_rules(numbered),
        "told": standing.told(material),
        "urgent": standing.urgent(material, numbered),
        "as_left": standing.as_left(material),
        "photos": photos.printed(material, numbered),
        "cautions": standing.cautions(material, numbered),
        "disclosures": standing.disclosures(material),
        **ages.printed(material),
        "attachments": beside.papers(material),
    }
    again = beside.again(material)
    told["photos"] = [*told["photos"], *again.pop("before", [])]
    return {
        **told,
        **again,
        "cover_photo": photos.cover(material),
        "glossary": standing.glossary(told),
    }


def _settled(value: Any) -> Any:
    """Return it with all text in Unicode form NFC, which reads the same."""
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, dict):
        return {key: _settled(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_settled(inner) for inner in value]
    return value
