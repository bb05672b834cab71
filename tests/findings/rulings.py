"""What tests of a firm's rulings share: a rule of its own, and rulings made."""

from __future__ import annotations

from typing import Any

from findings.models import RuleRuling
from tests.support.cast import Person

# Breakers of fifty amperes and more, which nobody's book asks about.
OWN_TEXT = """\
system: electrical
topic: large_breaker
title: A large breaker to ask about
inputs:
  amps: {kind: number, unit: A, low: 1, label: breaker}
binds:
  record: space
  where: {space_kind: [breaker]}
  inputs: {amps: amps}
rows:
  - when: amps >= 20
    outcome: defect_now
    consequence: upkeep
    timing: first_year
    trade: electrician
    reason: "{amps} A is what we ask about"
  - when: amps < 20
    outcome: ok
    reason: "{amps} A is usual"
source: the firm's own practice
provenance: {status: found, where: agreed at the meeting of March}
"""


def ruling(by: Person, rule: str, kind: str, **more: Any) -> RuleRuling:
    """Write a ruling as the service leaves it."""
    before = RuleRuling.objects.filter(firm=by.firm, rule=rule).count()
    return RuleRuling.objects.create(
        firm=by.firm,
        rule=rule,
        number=before + 1,
        kind=kind,
        author=by.member,
        **{"reason": "as we agreed"} | more,
    )
