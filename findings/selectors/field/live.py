"""What the device needs to say a form's meaning while it is typed."""

from __future__ import annotations

from functools import cache

from findings.rules.loader import ruleset
from findings.selectors.evaluation import property_facts
from findings.selectors.field.ground import Ground


@cache
def spoken_of() -> frozenset[str]:
    """Return the kinds of record that rule files read by name."""
    return frozenset(r.binds.record for r in ruleset().rules.values() if r.binds)


def live(base: Ground, kind: str) -> dict[str, str]:
    """Return the form's data for a kind that rules read by name, else nothing."""
    if kind not in spoken_of():
        return {}
    facts = property_facts(base.visit, base.records)
    arrived = str(base.own.get("arrived_at") or base.visit.starts_at.isoformat())
    return {
        "record": kind,
        "day": arrived[:10],
        "built_from": str(facts.get("built_from") or ""),
        "built_to": str(facts.get("built_to") or ""),
    }
