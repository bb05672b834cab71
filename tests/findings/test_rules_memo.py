"""After one more observation only what it touches is evaluated."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from findings.rules.era import Dates
from findings.rules.loader import ruleset, timeline
from findings.rules.memo import Memo
from findings.rules.visit import Result, review
from tests.bench.visits import house

RULES, NC = ruleset(), timeline("NC")
FACTS = {"state": "NC", "built_from": 1978, "built_to": 1978}
HOUSE = house(200)


def meant(records: dict[str, Any], memo: Memo) -> Result:
    return review(records, {}, FACTS, RULES, NC, (), memo=memo)


@pytest.fixture
def warm() -> Memo:
    memo = Memo()
    meant(HOUSE, memo)
    memo.evaluated = 0
    return memo


def test_the_same_visit_again_evaluates_nothing(warm: Memo) -> None:
    meant(HOUSE, warm)

    assert warm.evaluated == 0


def test_one_more_tap_evaluates_the_taps_rule_once(warm: Memo) -> None:
    tap = {"kind": "hot_tap", "tap": "bath", "temp_f": "137.5", "stop": "st-1"}

    more = meant(HOUSE | {"one-more": tap}, warm)

    assert warm.evaluated == 1
    assert more.proposals == meant(HOUSE | {"one-more": tap}, Memo()).proposals


def test_a_changed_stair_evaluates_its_own_rules_only(warm: Memo) -> None:
    key = next(k for k, one in HOUSE.items() if one["kind"] == "stair")

    meant(HOUSE | {key: HOUSE[key] | {"risers_in": ["9", "9.9"]}}, warm)

    assert warm.evaluated == 1


def test_what_is_kept_has_an_end() -> None:
    memo = Memo(most=10)
    meant(HOUSE, memo)

    assert len(memo.kept) == 10
    assert meant(HOUSE, memo).proposals == meant(HOUSE, Memo()).proposals


def test_true_and_one_are_told_apart() -> None:
    rule = RULES.rules["wh.general"]
    memo = Memo()
    memo.run(rule, {"leak": True}, Dates())
    memo.run(rule, {"leak": "yes"}, Dates())

    assert memo.evaluated == 2


def test_a_rule_that_is_gone_lends_its_outcome_to_no_other() -> None:
    memo, inputs = Memo(), {"leak": True, "temp": "110"}
    for turn in range(50):
        name = ("wh.general", "hot_water.scald")[turn % 2]
        short_lived = replace(RULES.rules[name])

        assert memo.run(short_lived, inputs, Dates()).rule == name
        del short_lived
