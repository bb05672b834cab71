"""Odd values that the inspector says are typed right, so that a rule may speak."""

from collections.abc import Callable
from dataclasses import replace

from findings.rules.bindings import Binding, View
from findings.rules.engine import Outcome
from findings.rules.rule import Rule

TYPED = "is it typed right?"  # how a rule asks; other questions want another fact
KIND = "typed_right"
# A kept outcome is found by its rule's identity, so each is made once.
_UNASKED: dict[int, tuple[Rule, Rule]] = {}


def asks(outcome: Outcome) -> bool:
    """Say whether all that a rule asks is that a value be looked at once more."""
    return bool(outcome.confirm) and all(
        say.endswith(TYPED) for _, say in outcome.confirm
    )


def run(
    view: View, bound: Binding, rule: Rule, evaluate: Callable[[Rule], Outcome]
) -> Outcome:
    """Evaluate a rule, past the questions that the inspector answered."""
    outcome = evaluate(rule)
    return evaluate(unasked(rule)) if confirmed(view, bound, outcome) else outcome


def confirmed(view: View, bound: Binding, outcome: Outcome) -> bool:
    """Say whether each odd value was confirmed as it stands now."""
    if not asks(outcome):
        return False
    said = {
        (view.get(one, "record"), view.get(one, "field"), view.get(one, "value"))
        for one in view.all(KIND)
    }
    sources = [bound.sources.get(name) for name, _ in outcome.confirm]
    return all(
        fact is not None and (fact.record, fact.field, str(fact.value)) in said
        for fact in sources
    )


def unasked(rule: Rule) -> Rule:
    """Give a rule that no longer asks whether a value is typed right."""
    if id(rule) not in _UNASKED:
        left = tuple(ask for ask in rule.asks if not ask.say.endswith(TYPED))
        _UNASKED[id(rule)] = (rule, replace(rule, asks=left))
    return _UNASKED[id(rule)][1]
