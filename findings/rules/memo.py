"""What a rule said of the same inputs and dates before: pure, so it may be kept."""

from collections import OrderedDict
from collections.abc import Hashable, Mapping
from typing import Any

from findings.rules import engine
from findings.rules.engine import Outcome
from findings.rules.era import Dates
from findings.rules.rule import Rule

MOST = 20_000  # some ten visits of six hundred observations


class Memo:
    """Outcomes by rule, inputs and dates; the oldest leave first.

    After one more observation only what it touches is evaluated: every other
    binding has the inputs that it had.
    """

    def __init__(self, most: int = MOST) -> None:
        self.most = most
        self.kept: OrderedDict[Hashable, tuple[Rule, Outcome]] = OrderedDict()
        self.evaluated = 0

    def run(self, rule: Rule, given: Mapping[str, Any], dates: Dates) -> Outcome:
        """Give the outcome. Raises BadInput, which is never kept."""
        # The rule's own identity: the entry holds the rule, so its id stays its own.
        key = (id(rule), _frozen(given), dates)
        found = self.kept.get(key)
        if found is not None:
            self.kept.move_to_end(key)
            return found[1]
        self.evaluated += 1
        outcome = engine.run(rule, given, dates)
        self.kept[key] = (rule, outcome)
        if len(self.kept) > self.most:
            self.kept.popitem(last=False)
        return outcome


def _frozen(value: Any) -> Hashable:
    # True and 1 are equal and hash alike; a rule tells them apart.
    if isinstance(value, Mapping):
        return tuple((name, _frozen(value[name])) for name in sorted(value))
    if isinstance(value, list | tuple | frozenset | set):
        return (list, *(_frozen(one) for one in value))
    return (type(value), value)
