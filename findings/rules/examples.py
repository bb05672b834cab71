"""Small examples of each rule, in the form of worked cases, run whenever asked for."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from findings.rules import cases, yamlfile
from findings.rules.inputs import BadInput
from findings.rules.loader import Ruleset
from findings.rules.schema import Reader
from findings.rules.yamlfile import FIXTURES

KEYS = ("rule", "inputs", "expected", "source")


@dataclass(frozen=True, slots=True)
class Example:
    """One example as it came out just now, and whether that was expected."""

    inputs: Mapping[str, Any]
    outcome: str
    values: Mapping[str, Any]
    why: str
    source: str
    agrees: bool
    expected: str


@cache
def by_rule(
    path: Path = FIXTURES / "rules" / "examples.yaml",
) -> Mapping[str, tuple[Mapping[str, Any], ...]]:
    """Give the examples by rule. Raises RuleFileError."""
    reader = Reader(str(path.name), None)
    where = reader.known_keys(
        yamlfile.read(path, plain=True), ("schema", "examples"), "file"
    )
    found: dict[str, tuple[Mapping[str, Any], ...]] = {}
    for raw in where.get("examples") or []:
        one = reader.known_keys(raw, KEYS, "examples")
        name = reader.word(one, "rule")
        found[name] = (*found.get(name, ()), one)
    return found


def run(rule: str, ruleset: Ruleset) -> tuple[Example, ...]:
    """Run a rule's examples now, in their order."""
    return tuple(_run(rule, case, ruleset) for case in by_rule().get(rule, ()))


def _run(rule: str, case: Mapping[str, Any], ruleset: Ruleset) -> Example:
    given = case.get("inputs") or {}
    wanted = str((case.get("expected") or {}).get("outcome"))
    result = cases.run_case({"id": rule, **case}, ruleset)
    try:
        outcome = cases.evaluate(rule, given, ruleset)
    except BadInput as error:
        return Example(
            inputs=given,
            outcome="undetermined",
            values={},
            why=str(error),
            source=_source(case),
            agrees=False,
            expected=wanted,
        )
    return Example(
        inputs=given,
        outcome=outcome.outcome,
        values=outcome.values,
        why=outcome.why,
        source=_source(case),
        agrees=result.passed,
        expected=wanted,
    )


def _source(case: Mapping[str, Any]) -> str:
    return str(case.get("source") or "")
