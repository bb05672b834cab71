"""Lines that ask which of two things holds: values, facts, tests, shut-offs."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from findings.rules import contradictory, tree
from findings.rules.bindings import Conflicts, Fact, View, field_words
from findings.rules.contradictory import Contradiction
from findings.rules.proposal import Proposal
from findings.rules.tree import Tree


def lines(
    view: View, whole: Tree, conflicts: Conflicts, apart: Iterable[Contradiction]
) -> Iterator[Proposal]:
    """Two values for one field, and facts that contradict each other."""
    for pair in apart:
        yield _apart(view, pair)
    for (record, name), values in sorted(conflicts.items()):
        if record in view.folded:
            facts = [
                Fact(record, name, value, view.how(record, name),
                     field_words(name)).as_dict()
                for value in values
            ]  # fmt: skip
            title = "Two values stand here; one has to be chosen"
            fields = [(record, name)]
            yield _settling(view, "facts.two_values", record, fields, title, facts)
    for one, other, words in tree.contradictions(view):
        tests = [(r, "gfci_own_button_trips") for r in dict.fromkeys((one, other))]
        yield _settling(
            view, "facts.repeat_test", one, tests, f"Repeat the test: {words}"
        )
    for one, other, words in whole.contradictions:
        roles = [(one, "role"), (other, "role")]
        title = f"Find the first shut-off: {words}"
        yield _settling(view, "facts.first_shut_off", one, roles, title)


def _apart(view: View, one: Contradiction) -> Proposal:
    fields = [(fact.record, fact.field) for fact in one.between]
    shown = [fact.as_dict() for fact in one.between]
    line = _settling(
        view, contradictory.NAME, one.record, fields, contradictory.TITLE, shown
    )
    return replace(line, why=one.say)


def _settling(
    view: View,
    name: str,
    record: str,
    fields: list[tuple[str, str]],
    title: str,
    facts: list[dict[str, Any]] | None = None,
) -> Proposal:
    shown = facts or [
        Fact(one, field, view.get(one, field), view.how(one, field),
             field_words(field)).as_dict()
        for one, field in fields
    ]  # fmt: skip
    row = view.folded.get(record, {})
    place = view.place(record)
    return Proposal(
        key=f"{name}:{record}:{fields[0][1]}", rule=name, rule_version="1",
        system="", item=str(row.get("kind", "")), subject=record,
        subjects=list(dict.fromkeys(one for one, _ in fields)),
        stop=str(row.get("stop") or ""), places=[place] if place else [],
        title=title, facts=shown, outcome="undetermined", consequence="",
        timing="", trade="", passage="", blanks={}, age_note="",
        certainty="cannot tell while both stand", margin="", edition={},
        source="", provenance="found", cautions=[], trace=[],
        needs=[{"record": one, "field": field, "label": field_words(field)}
               for one, field in fields],
        firm_only=False, hazard=False, topic=name, why=title,
    )  # fmt: skip
