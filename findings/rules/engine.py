"""Runs one rule over one subject's inputs: `run(rule, inputs, dates) -> Outcome`."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from findings.rules import era, explain, inputs, reading
from findings.rules.derived import DERIVED
from findings.rules.era import Dates, Verdict
from findings.rules.evaluate import Env
from findings.rules.rule import Edition, Row, Rule

# These say that nothing is wrong; they need every graver row to be ruled out first.
QUIET = frozenset({"ok", "informational", "undetermined"})
BY_STATUS = {
    era.REQUIRED: "defect_at_construction",
    era.NOT_REQUIRED: "met_then_safer_now",
    era.CANNOT_TELL: "depends_on_adoption",
    era.NO_DATE: "undetermined",
}


@dataclass(frozen=True, slots=True)
class Step:
    """A row that was asked, with its answer."""

    number: int
    answer: Any
    tree: Any

    def told(self, fields: Mapping[str, Any]) -> str:
        """Give the row's condition with the values it read."""
        words = explain.words(self.tree, fields)
        return f"row {self.number}: {explain.word(self.answer)}: {words}"


@dataclass(frozen=True)
class Outcome:
    """What a rule says of one subject, and all that led to it."""

    rule: str
    outcome: str
    values: dict[str, Any] = field(default_factory=dict)
    why: str = ""
    needs: tuple[str, ...] = ()
    confirm: tuple[tuple[str, str], ...] = ()
    edition: dict[str, Any] = field(default_factory=dict)
    margin: str = ""
    certainty: str = ""
    # What was met on the way: notes, and rows with their answers.
    steps: tuple[str | Step, ...] = ()
    row: Row | None = None
    fields: dict[str, Any] = field(default_factory=dict)

    @property
    def trace(self) -> tuple[str, ...]:
        """How it was decided, line by line; most outcomes are never asked."""
        return tuple(
            one if isinstance(one, str) else one.told(self.fields) for one in self.steps
        )


def run(rule: Rule, given: Mapping[str, Any], dates: Dates | None = None) -> Outcome:
    """Say what the rule says. Raises BadInput naming a field whose value cannot be."""
    dates = dates or Dates()
    fields = {
        name: None if (said := given.get(name)) is None else inputs.normal(spec, said)
        for name, spec in rule.inputs.items()
    }
    env = Env(fields, rule.tables)
    span, _ = dates.governing()
    fields["governing_year"] = int(span.last[:4]) if span else dates.adopted_edition
    fields["edition_in_force"] = dates.adopted_edition or _in_force(dates)
    for name, (by, sources) in rule.derive.items():
        fields[name] = DERIVED[by](*(fields[source] for source in sources))
    for name, expression in rule.let.items():
        fields[name] = expression.node(env)
    asked = _asked(rule, env)
    if asked:
        return _finish(rule, env, Outcome(
            rule.id, "undetermined", why=asked[0][1], confirm=asked,
            needs=tuple(dict.fromkeys(name for name, _ in asked)),
        ))  # fmt: skip
    return _finish(rule, env, _decide(rule, env, dates))


def _asked(rule: Rule, env: Env) -> tuple[tuple[str, str], ...]:
    """Give what has to be settled first: what cannot both be so, then what is odd."""
    apart = [
        (name, explain.fill(one.say, env.fields))
        for one in rule.contradictions
        if one.when.node(env) is True
        for name in one.between
    ]
    odd = [
        (ask.field, explain.fill(ask.say, env.fields))
        for ask in rule.asks
        if ask.when.node(env) is True
    ]
    return (*apart, *odd)


def _in_force(dates: Dates) -> int | None:
    """Give the edition a list has for the governing date, when it is only one."""
    span, _ = dates.governing()
    if span is None or not (dates.adoption or dates.local):
        return None
    lines = [era.line_at(dates, day) for day in (span.first, span.last)]
    found = {line.edition if line else None for line in lines}
    only = found.pop()
    return None if found else only


def _decide(rule: Rule, env: Env, dates: Dates) -> Outcome:
    """Take the first row that holds, unless a row in doubt before it could differ.

    A quiet answer waits for every row before it; a grave one only for quiet rows,
    since what is not known may excuse and must never accuse.
    """
    doubts: list[Row] = []
    for number, row in enumerate(rule.rows, start=1):
        answer = row.when.node(env)
        env.trace.append(Step(number, answer, row.when.tree))
        if answer is None:
            doubts.append(row)
        elif answer is True:
            found = _outcome(rule, row, env, dates)
            quiet = found.outcome in QUIET
            if not any(quiet or _excuses(doubt) for doubt in doubts):
                return found
            break
    needs = _needed(rule, env, doubts)
    if doubts:
        named = ", ".join(rule.inputs[name].label for name in needs) or "more facts"
        why = f"cannot tell without: {named}"
    else:
        why = "no row of this rule covers these facts"
    return Outcome(rule.id, "undetermined", why=why, needs=needs)


def _excuses(row: Row) -> bool:
    return not row.dated and row.outcome in QUIET


def _needed(rule: Rule, env: Env, rows: list[Row]) -> tuple[str, ...]:
    """Give the inputs that are unknown and would settle the rows in doubt."""
    names: set[str] = set()
    waiting = [name for row in rows for name in reading.fields(row.when.tree)]
    while waiting:
        name = waiting.pop()
        if name in names:
            continue
        names.add(name)
        if name in rule.let and env.fields.get(name) is None:
            waiting.extend(reading.fields(rule.let[name].tree))
        if name in rule.derive:
            waiting.extend(rule.derive[name][1])
    return tuple(n for n in rule.inputs if n in names and env.fields.get(n) is None)


def _outcome(rule: Rule, row: Row, env: Env, dates: Dates) -> Outcome:
    if not row.dated:
        why = explain.fill(row.reason, env.fields)
        margin = explain.fill(row.margin, env.fields)
        # A row that leaves it open names what it would take to close it.
        needs = _needed(rule, env, [row]) if row.outcome == "undetermined" else ()
        return Outcome(
            rule.id, row.outcome, why=why, margin=margin, row=row, needs=needs
        )
    if apart := era.apart(dates):
        return Outcome(rule.id, "undetermined", why=apart)
    verdict = (
        _by_history(rule, env, dates) if row.by_history else _by_first(row, env, dates)
    )
    name = BY_STATUS[verdict.status]
    outcome = (row.outcome_when or {}).get(name, name)
    why = explain.fill(row.reason, env.fields)
    edition = {
        "status": verdict.status,
        "text": explain.edition_text(verdict),
        "decided_by": verdict.decided_by,
        "edition": verdict.edition,
    }
    return Outcome(
        rule.id,
        outcome,
        why=f"{why}; {explain.edition_text(verdict)} ({verdict.decided_by})",
        edition=edition,
        margin=explain.fill(row.margin, env.fields),
        row=row,
    )


def _by_first(row: Row, env: Env, dates: Dates) -> Verdict:
    """Whether the one rule this row stands for was in force."""
    first = row.first.node(env) if row.first else None
    if not isinstance(first, int):
        return Verdict(era.CANNOT_TELL, "the first edition is not known")
    effective = row.effective.node(env) if row.effective else None
    doubt = row.doubt.node(env) if row.doubt else None
    return era.resolve(dates, first, effective or "", doubt)


def _by_history(rule: Rule, env: Env, dates: Dates) -> Verdict:
    """Whether the editions that may have governed are met, newest first."""
    answers: list[tuple[bool | None, Edition | None]] = []
    verdict = Verdict(era.NOT_REQUIRED, "older than every edition named")
    for line in sorted(rule.history, key=lambda one: one.year, reverse=True):
        if line.needs is None:
            continue
        verdict = era.resolve(dates, line.year, line.effective, line.until)
        if verdict.status == era.NO_DATE:
            return verdict
        if verdict.status in (era.REQUIRED, era.CANNOT_TELL):
            answers.append((line.needs.node(env), line))
        if verdict.status == era.REQUIRED:
            break
    else:
        answers.append((True, None))
    met = {answer for answer, _ in answers}
    line_in_force = answers[-1][1]
    edition = line_in_force.year if line_in_force else None
    if met == {True}:
        return Verdict(era.NOT_REQUIRED, verdict.decided_by, edition)
    if met == {False}:
        return Verdict(era.REQUIRED, verdict.decided_by, edition)
    return Verdict(era.CANNOT_TELL, verdict.decided_by, edition)


def _finish(rule: Rule, env: Env, outcome: Outcome) -> Outcome:
    values = {name: env.fields[name] for name in rule.gives}
    return Outcome(
        rule.id,
        outcome.outcome,
        values={name: value for name, value in values.items() if value is not None},
        why=outcome.why,
        needs=outcome.needs,
        confirm=outcome.confirm,
        edition=outcome.edition,
        margin=outcome.margin,
        certainty=explain.certainty(rule, outcome.outcome, outcome.edition),
        steps=tuple(env.trace),
        row=outcome.row,
        fields=dict(env.fields),
    )
