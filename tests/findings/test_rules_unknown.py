"""What is unknown may excuse and never accuses: tried on many invented facts."""

import random
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from findings.rules import loader
from findings.rules.engine import QUIET, run
from findings.rules.era import Dates, Span
from findings.rules.inputs import SIZES, BadInput, InputSpec
from findings.rules.rule import OUTCOMES, Rule

RULES = loader.ruleset()
NUMBERS = [0, 1, 3, 5, 6, 7, 10, 12, 15, 20, 24, 30, 36, 48, 60, 78, 79, 84, 100, 115,
           118, 120, 125, 150, 200, "2.5", "9.9", 30000]  # fmt: skip
WORDS: dict[str, list[Any]] = {
    "element": ["wall", "railing at loft edge", "doorway"],
    "pattern": ["correct", "open_ground", "open_neutral", "hot_neutral_reversed"],
    "kind": ["paddle fan", "receptacle", "recessed"],
    "cable": ["NM-B", "SER", "THHN"],
    "cable_type": ["NM-B", "SER", "THHN"],
    "terminal_marking": ["60", "75", "none", "CU", "AL-CU"],
    "terminal_column": ["60", "75"],
    "load_type": ["general", "motor_ac"],
}
for table in RULES.tables.by_id.values():
    for key in table.keys:
        WORDS.setdefault(key, []).extend(row[key] for row in table.rows)


def invented(spec: InputSpec, dice: random.Random) -> Any:
    alarm = {"made_year": dice.choice([2005, 2022]), "power": "battery"}
    thing: Any = alarm if spec.name == "alarms" else dice.choice([1, 2, 6, 12])
    ways: dict[str, Callable[[], Any]] = {
        "number": lambda: dice.choice(NUMBERS),
        "count": lambda: dice.choice([0, 1, 2, 3, 4, 6, 7]),
        "flag": lambda: dice.choice([True, False]),
        "choice": lambda: dice.choice(spec.choices),
        "word": lambda: str(dice.choice(WORDS.get(spec.name, ["a word"]))),
        "said": lambda: dice.choice(["unknown", "none", "a law"]),
        "size": lambda: dice.choice(SIZES),
        "material": lambda: dice.choice(["cu", "al"]),
        "year": lambda: dice.choice([1950, 1970, 1990, 2000, 2010, 2022]),
        "date": lambda: "1980-01-01",
        "list": lambda: [thing] * dice.randint(0, 3),
        "slots": lambda: {"H": 120, "N": dice.choice([0, None]), "G": 0},
    }
    return ways[spec.kind]()


def houses(rule: Rule) -> Iterator[tuple[dict[str, Any], Dates]]:
    dice = random.Random(rule.id)
    for _ in range(250):
        facts = {
            name: invented(spec, dice)
            for name, spec in rule.inputs.items()
            if dice.random() < 0.8
        }
        year = dice.choice([1950, 1985, 2010])
        yield facts, Dates(built=Span.of(year), lag=3)


@pytest.mark.parametrize("rule", RULES.rules.values(), ids=lambda rule: rule.id)
def test_forgetting_a_fact_never_turns_a_quiet_answer_into_a_grave_one(
    rule: Rule,
) -> None:
    for facts, dates in houses(rule):
        try:
            whole = run(rule, facts, dates)
        except BadInput:
            continue  # out of range; named by field in another test
        assert whole.outcome in OUTCOMES
        if whole.outcome not in ("ok", "informational"):
            continue
        for name in set(facts) - set(rule.dates) - set(rule.presumes):
            less = run(rule, {k: v for k, v in facts.items() if k != name}, dates)
            assert less.outcome in QUIET, (facts, name, less.outcome, less.why)


def test_what_is_presumed_is_an_input() -> None:
    for rule in RULES.rules.values():
        assert set(rule.presumes) <= set(rule.inputs), rule.id
