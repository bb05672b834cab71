"""What the device needs to say a form's meaning while it is typed."""

from __future__ import annotations

from findings.rules.loader import Ruleset
from findings.selectors.evaluation import property_facts
from findings.selectors.field.ground import Ground


def spoken_of(rules: Ruleset) -> frozenset[str]:
    """Return the kinds of record that rules read by name."""
    return frozenset(r.binds.record for r in rules.rules.values() if r.binds)


def live(base: Ground, kind: str) -> dict[str, str]:
    """Return the form's data for a kind that rules read by name, else nothing."""
    if kind not in spoken_of(base.seen.rules):
        return {}
    facts = property_facts(base.visit, base.records)
    arrived = str(base.own.get("arrived_at") or base.visit.starts_at.isoformat())
    return {
        "record": kind,
        "day": arrived[:10],
        "built_from": str(facts.get("built_from") or ""),
        "built_to": str(facts.get("built_to") or ""),
        "plumbing": str(facts.get("plumbing_family") or ""),
        "mechanical": str(facts.get("mechanical_family") or ""),
        "outside": str(base.own.get("temp_out_f") or ""),
    }
