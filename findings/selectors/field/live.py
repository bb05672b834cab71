"""What the device needs to say a form's meaning while it is typed."""

from __future__ import annotations

import json
from typing import Any, Final

from findings.rules.loader import Ruleset
from findings.selectors.evaluation import property_facts
from findings.selectors.field.ground import Ground

# Kinds whose rules the device gathers by code: static/js/rules/gathered.js.
GATHERED: Final = frozenset({"space", "receptacle"})


def spoken_of(rules: Ruleset) -> frozenset[str]:
    """Return the kinds of record that rules read by name."""
    return frozenset(r.binds.record for r in rules.rules.values() if r.binds)


def live(base: Ground, kind: str, stop: str = "") -> dict[str, str]:
    """Return the form's data for a kind that the device's rules read, else nothing."""
    if kind not in spoken_of(base.seen.rules) | GATHERED:
        return {}
    facts = property_facts(base.visit, base.records)
    arrived = str(base.own.get("arrived_at") or base.visit.starts_at.isoformat())
    return {
        "record": kind,
        "day": arrived[:10],
        "dates": json.dumps(_dates(base, facts, stop)),
        "plumbing": str(facts.get("plumbing_family") or ""),
        "mechanical": str(facts.get("mechanical_family") or ""),
        "outside": str(base.own.get("temp_out_f") or ""),
    }


def _dates(base: Ground, facts: dict[str, Any], stop: str) -> dict[str, Any]:
    """Return when the house was built and permitted, and the notes that reach a stop.

    A note whose years are in dispute is null: no date, rather than the house's own.
    """
    found: dict[str, Any] = {"notes": {}}
    if facts.get("built_from") or facts.get("built_to"):
        found["built"] = [facts.get("built_from"), facts.get("built_to")]
    if facts.get("permit_date"):
        found["permit"] = [str(facts["permit_date"])]
    for key, note in sorted(base.seen.of_kind("age_note")):
        reach = str(note.get("reach") or "")
        years = [note.get("year_from"), note.get("year_to")]
        apart = {(key, "year_from"), (key, "year_to")} & set(base.seen.conflicts)
        if reach in (stop, "house") or reach.startswith("system:"):
            name = "stop" if reach == stop else reach
            if apart or any(years):
                found["notes"][name] = None if apart else years
    return found
