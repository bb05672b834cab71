"""After one more entry only what it touches is worked out; the answer is the same."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from findings.rules.kept import Kept
from findings.rules.loader import ruleset, timeline
from findings.rules.visit import Result, review
from tests.bench.visits import house
from tests.findings import rule_visits
from tests.support.house_1978 import records as house_1978

RULES, NC = ruleset(), timeline("NC")
FACTS = {"state": "NC", "built_from": 1978, "built_to": 1978}
HOUSE = house(200)
Records = dict[str, dict[str, Any]]
# Values that records take in turn, so that edits meet conditions of many rules.
VALUES: dict[str, list[Any]] = {
    "closed_at": [None, "2026-11-20T16:00:00Z"],
    "gfci_kind": ["none", "device", "upstream", None],
    "gfci_own_button_trips": ["yes", "no", None],
    "map_done": [True, None],
    "role": ["service_disconnect", "fed_from_panel", None],
    "fed_from": ["e-main", "e-sub", None],
    "amps": [15, 20, 30, 60],
    "size": ["14", "12", "10", None],
    "enclosure": ["e-main", "e-sub", None],
    "died_with": [["r-kit"], ["r-bath", "r-lau"], None],
    "temp_f": ["110", "135", "151"],
    "how_known": ["measured", "estimated", None],
    "built_year": [1950, 1978, 2015, None],
    "year_from": [1980, 2004, None],
    "reach": ["s-kit", "house", "system:electrical"],
    "stop": ["s-kit", "s-gar", "s-bath", None],
    "material": ["copper", "aluminium", None],
    "alarm_kind": ["smoke", "carbon_monoxide", "both"],
    "choice": ["not_here", "use"],
}
EXTRA: Records = {
    "x-space": {"kind": "space", "enclosure": "e-main", "number": 3, "amps": 20,
                "space_kind": "breaker", "poles": 1, "size": "14", "how": "read",
                "material": "copper", "load": "general"},
    "x-tap": {"kind": "hot_tap", "stop": "s-bath", "tap": "bath", "temp_f": "137"},
    "x-box": {"kind": "box", "stop": "s-gar", "box_kind": "junction",
              "cover": "missing"},
    "x-odd": {"kind": "typed_right", "record": "x-tap", "field": "temp_f",
              "value": "151"},
    "x-aside": {"kind": "decision", "rule": "elec.gfci.location", "subject": "r-kit",
                "choice": "not_here", "reason": "different"},
    "x-alarm": {"kind": "alarm", "stop": "s-bed", "alarm_kind": "smoke"},
    "x-heater": {"kind": "water_heater", "stop": "s-gar", "relief_pipe": "looked_none"},
}  # fmt: skip


def meant(records: Records, kept: Kept | None = None, conflicts: Any = None) -> Result:
    return review(records, conflicts or {}, FACTS, RULES, NC, (), kept=kept)


def edited(chance: Random, records: Records) -> tuple[Records, dict[Any, list[Any]]]:
    """Return the visit with a record more, less or changed, or one field disputed."""
    now, conflicts = dict(records), dict[Any, list[Any]]()
    draw = chance.random()
    if draw < 0.2:
        key = chance.choice(sorted(EXTRA))
        now[key] = EXTRA[key]
    elif draw < 0.35:
        now.pop(chance.choice(sorted(now)))
    else:
        key = chance.choice(sorted(now))
        name = chance.choice([*VALUES, *(n for n in now[key] if n in VALUES)])
        now[key] = now[key] | {name: chance.choice(VALUES[name])}
        if draw > 0.85:
            conflicts[key, name] = VALUES[name][:2]
    return now, conflicts


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**9))
def test_whatever_is_entered_the_kept_answer_is_the_one_from_scratch(seed: int) -> None:
    chance, records, kept = Random(seed), house_1978(), Kept()
    meant(records, kept)

    for _ in range(12):
        records, conflicts = edited(chance, records)
        assert meant(records, kept, conflicts) == meant(records, None, conflicts)


@pytest.fixture
def warm() -> Kept:
    kept = Kept()
    meant(HOUSE, kept)
    return kept


def test_the_same_visit_again_works_nothing_out(warm: Kept) -> None:
    meant(HOUSE, warm)

    assert warm.worked == 0


def test_one_more_tap_works_out_the_taps_rules_only(warm: Kept) -> None:
    tap = {"kind": "hot_tap", "tap": "bath", "temp_f": "137.5", "stop": "st-1"}

    meant(HOUSE | {"one-more": tap}, warm)

    assert warm.worked == 1


def test_a_changed_stair_works_out_its_own_rules_only(warm: Kept) -> None:
    key = next(k for k, one in HOUSE.items() if one["kind"] == "stair")

    meant(HOUSE | {key: HOUSE[key] | {"risers_in": ["9", "9.9"]}}, warm)

    assert 1 <= warm.worked <= 3


@pytest.mark.parametrize("size", [100, 400, 800])
def test_the_work_of_one_more_entry_does_not_grow_with_the_visit(size: int) -> None:
    kept, records = Kept(), house(size)
    meant(records, kept)
    more = {"kind": "receptacle", "stop": "st-2", "place": "by the door",
            "receptacle_kind": "general", "gfci_kind": "none"}  # fmt: skip

    meant(records | {"one-more": more}, kept)

    assert kept.worked <= 3


def test_another_year_of_the_house_works_everything_out_anew(warm: Kept) -> None:
    facts = FACTS | {"built_from": 1990, "built_to": 1990}
    kept = review(HOUSE, {}, facts, RULES, NC, (), kept=warm)

    assert warm.worked > 100
    assert kept == review(HOUSE, {}, facts, RULES, NC, ())


def test_a_panel_at_odds_with_another_is_worked_out_with_it() -> None:
    panel = rule_visits.fed()["panel"] | {"neutral_and_ground": "apart"}
    fed = rule_visits.stops() | rule_visits.fed() | {"panel": panel}
    twice = fed | {"sub": fed["sub"] | {"role": "service_disconnect"}}
    kept = Kept()

    for records in (fed, twice, fed):
        assert meant(records, kept) == meant(records)
    assert meant(fed).proposals != meant(twice).proposals
