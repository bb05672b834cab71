"""What a rule said of the same inputs and dates before: pure, so it may be kept."""

from collections.abc import Callable, Hashable, Mapping
from typing import Any

from findings.rules import engine
from findings.rules.engine import Outcome
from findings.rules.era import Dates
from findings.rules.rule import Rule

MOST = 5_000


class Outcomes:
    """Outcomes of one visit by rule, inputs and dates; many records are alike."""

    def __init__(self) -> None:
        self.kept: dict[Hashable, tuple[Rule, Outcome]] = {}

    def run(
        self,
        rule: Rule,
        given: Mapping[str, Any],
        dates: Dates,
        with_lines: Callable[[Rule, Dates], Dates],
    ) -> Outcome:
        """Give the outcome. Raises BadInput, which is never kept.

        `with_lines` adds what was in force, which follows from rule and dates.
        """
        key = _key(rule, given, dates)
        found = self.kept.get(key) if key else None
        if found is not None:
            return found[1]
        outcome = engine.run(rule, given, with_lines(rule, dates))
        if key:
            if len(self.kept) >= MOST:
                self.kept.clear()
            self.kept[key] = (rule, outcome)
        return outcome


def _key(rule: Rule, given: Mapping[str, Any], dates: Dates) -> Hashable:
    # True and 1 are equal and hash alike; a rule tells them apart.
    key = (
        id(rule), tuple(given.items()), tuple(map(type, given.values())), dates.built,
        dates.permit, dates.installed, dates.altered, dates.replaced,
    )  # fmt: skip
    try:
        hash(key)
    except TypeError:
        return None  # a list among the inputs: seldom alike
    return key
