"""What a trainee recorded, and where the inspector has stood for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from findings.models import Finding
from findings.selectors.evaluation import Evaluation
from inspections.log.route import in_order
from inspections.models import Visit
from inspections.selectors.recorders import in_training
from inspections.selectors.rows import FactRow
from inspections.selectors.words import moment

Trainees = Mapping[str, str]  # record id -> the name of who began it


def recorded(visit: Visit, finding: Finding, trainees: Trainees) -> str:
    """Say whose record a finding rests on, where that is a trainee's; else nothing."""
    told = finding.proposal or {}
    subjects = [*(told.get("subjects") or ()), told.get("subject")]
    hand = finding.source_key.rpartition(":")[2]
    names = [trainees[key] for key in map(str, (*subjects, hand)) if key in trainees]
    return f"Recorded by {in_training(names[0], visit)}." if names else ""


def stops(visit: Visit, seen: Evaluation, trainees: Trainees) -> Iterator[FactRow]:
    """Yield each stop at which a trainee recorded, and whether it is stood for."""
    at: dict[str, set[str]] = {}
    for key, name in trainees.items():
        record: Mapping[str, Any] = seen.records.get(key, {})
        stop = key if record.get("kind") == "stop" else str(record.get("stop") or "")
        at.setdefault(stop, set()).add(name)
    for key, stop_record in in_order(seen.of_kind("stop")):
        if key in at:
            yield FactRow(
                label=str(stop_record.get("name") or "A stop without a name"),
                value=", ".join(sorted(at[key])),
                how_known=_stood(visit, stop_record),
            )


def _stood(visit: Visit, stop: Mapping[str, Any]) -> str:
    at = stop.get("attested_at")
    if not at:
        return f"not stood for by {visit.inspector.name} yet"
    when, zone = datetime.fromisoformat(str(at)), visit.property.time_zone
    return f"{visit.inspector.name} was there, {moment(when, zone)}"
