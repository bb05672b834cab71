"""What one recorded thing means by itself, quietly, before anything is proposed."""

from collections.abc import Iterable
from dataclasses import dataclass

from findings.rules import (
    bindings_panels,
    bindings_receptacles,
    confirming,
    contradictory,
    engine,
    tree,
)
from findings.rules.bindings import Binding, Conflicts, Folded, View
from findings.rules.inputs import BadInput
from findings.rules.loader import Ruleset

CALM = frozenset({"ok", "informational"})
SILENT = frozenset({"undetermined", "not_applicable"})


@dataclass(frozen=True)
class Meaning:
    """A sentence beside a value; `weighs` when it is more than that things fit."""

    text: str
    weighs: bool
    rule: str
    subject: str


class Reader:
    """Reads one record at a time; builds the visit's view and tree only once."""

    def __init__(self, folded: Folded, conflicts: Conflicts, ruleset: Ruleset) -> None:
        self.apart = contradictory.found(View(folded, conflicts), {})
        unsure = contradictory.unsettled(conflicts, self.apart)
        self.view, self.ruleset = View(folded, unsure), ruleset
        self.tree = tree.build(self.view)

    def space(self, record: str) -> list[Meaning]:
        """Say what a breaker and its wire mean; half-entered ones are silent."""
        works = bindings_panels.SPACE
        return self._apart(record) + self._said(
            b for work in works for b in work(self.view, self.tree, record)
        )

    def enclosure(self, record: str) -> list[Meaning]:
        works = bindings_panels.ENCLOSURE
        return self._apart(record) + self._said(
            b for work in works for b in work(self.view, self.tree, record)
        )

    def receptacle(self, record: str) -> list[Meaning]:
        works = bindings_receptacles.RECEPTACLE
        return self._said(b for work in works for b in work(self.view, record))

    def contradictions(self) -> list[tuple[str, str, str]]:
        """Ground-fault tests that cannot both be true: (record, other, what)."""
        return tree.contradictions(self.view)

    def _apart(self, record: str) -> list[Meaning]:
        return [
            Meaning(one.say, weighs=True, rule=contradictory.NAME, subject=one.record)
            for one in self.apart
            if record in {fact.record for fact in one.between}
        ]

    def _said(self, bound: Iterable[Binding]) -> list[Meaning]:
        found = [one for each in bound if (one := self._one(each)) is not None]
        return sorted(found, key=lambda one: not one.weighs)

    def _one(self, bound: Binding) -> Meaning | None:
        rule = self.ruleset.rules.get(bound.rule)
        if rule is None:
            return None  # the firm switched it off
        try:
            outcome = confirming.run(
                self.view, bound, rule, lambda one: engine.run(one, bound.inputs)
            )
        except BadInput as error:
            told = f"Look again: {error}"
            return Meaning(told, weighs=True, rule=rule.id, subject=bound.subject)
        if outcome.confirm:
            return Meaning(
                outcome.why, weighs=True, rule=rule.id, subject=bound.subject
            )
        # What depends on a date is the calendar's to say, not the value's.
        if outcome.outcome in SILENT or outcome.edition or bound.estimated:
            return None
        text = "; ".join(filter(None, (outcome.why, outcome.margin)))
        weighs = outcome.outcome not in CALM
        return Meaning(text, weighs=weighs, rule=rule.id, subject=bound.subject)
