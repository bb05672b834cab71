"""What the demo's coverage rests on: take one entry away, and what it held up opens."""

from __future__ import annotations

from collections import Counter
from datetime import datetime
from functools import cache
from typing import Any
from uuid import UUID

import pytest

from findings.rules import loader
from findings.rules.visit import proposals
from findings.standards.ledger import Ledger, index_findings, ledger
from findings.standards.loader import pack
from reports.demo import script

NC = pack("NC")
VISIT = UUID("01930000-0000-7000-8000-000000000001")
ARRIVAL = datetime.fromisoformat("2026-11-23T08:20:00-05:00")
# Kinds of which a single entry can hold up a duty; stops and photos do not stand alone.
HOLDS = ("duty", "observation", "measure", "alarm", "alarm_look", "enclosure", "plate")


@cache
def folded() -> dict[str, dict[str, Any]]:
    return script.write(
        run="one", visit=VISIT, starts_at=ARRIVAL, zone="America/New_York"
    ).folded()


def stands(records: dict[str, dict[str, Any]]) -> Ledger:
    by_hand = [
        {"id": key, **one}
        for key, one in records.items()
        if one["kind"] == "hand_finding"
    ]
    # Two duties must be reported by what the rules find: boxes and the open space.
    by_rule = [
        {"id": "boxes", "rule": "elec.box.covers"},
        {"id": "opening", "rule": "elec.panel.openings"},
    ]
    return ledger(NC, records, index_findings(NC, [*by_hand, *by_rule]))


def opened_without(record: str) -> set[str]:
    return {
        line.duty
        for line in stands({k: v for k, v in folded().items() if k != record}).open()
    }


def entries() -> list[str]:
    return [key for key, one in folded().items() if one["kind"] in HOLDS]


@cache
def effects() -> dict[str, frozenset[str]]:
    assert stands(folded()).open() == ()
    return {key: frozenset(opened_without(key)) for key in entries()}


def test_taking_an_answer_away_opens_that_duty_and_no_other() -> None:
    answers = {k: v for k, v in effects().items() if folded()[k]["kind"] == "duty"}

    assert len(answers) > 20
    for key, opened in answers.items():
        assert opened <= {folded()[key]["duty"]}, folded()[key]
    assert sum(1 for opened in answers.values() if opened) > 20


def test_taking_a_fact_away_opens_only_what_names_its_kind() -> None:
    facts = {k: v for k, v in effects().items() if folded()[k]["kind"] != "duty"}

    for key, opened in facts.items():
        kind = folded()[key]["kind"]
        for duty in opened:
            assert kind in repr(NC.duty(duty)), (folded()[key], duty)
    assert any(facts.values())


def test_two_entries_taken_away_open_what_each_opens_at_least() -> None:
    strong = [key for key, opened in effects().items() if opened][:6]
    rest = {k: v for k, v in folded().items() if k not in strong}

    opened = {line.duty for line in stands(rest).open()}

    assert opened >= set().union(*(effects()[key] for key in strong))


def test_what_is_put_back_closes_again() -> None:
    key = next(key for key, opened in effects().items() if opened)
    without = {k: v for k, v in folded().items() if k != key}

    assert stands(without).open()
    assert stands(without | {key: folded()[key]}).open() == ()


FINE: dict[str, dict[str, Any]] = {
    "stair": {"risers_in": ["7", "7"], "treads_in": ["11"], "handrail": "present"},
    "water_heater": {"relief_pipe": "present", "relief_end_in": "4"},
    "hot_tap": {"tap": "sink", "temp_f": "110"},
    "water_reading": {"static_psi": "60", "flow_drops": "no"},
    "garage_opener": {"turned_back": "yes", "sensors": "present"},
    "air_reading": {"air_mode": "cooling", "return_f": "75", "supply_f": "57"},
    "dryer_run": {"duct_material": "metal", "ends_at": "outdoors"},
    "deck_ledger": {"fastener": "bolt", "spacing_in": "12", "joist_span_ft": "10"},
    "attic_vents": {"floor_ft2": "900", "high_free_in2": "500", "low_free_in2": "500"},
}


@pytest.mark.parametrize("kind", FINE)
def test_a_rules_ok_alone_closes_no_duty(kind: str) -> None:
    stop = {"kind": "stop", "name": "Garage", "stop_kind": "garage"}
    bare = {"v": {"kind": "visit"}, "st": stop}
    fine = bare | {"o": {"kind": kind, "stop": "st", **FINE[kind]}}
    rules, facts = loader.ruleset(), {"state": "NC", "built_from": 2015}

    assert proposals(fine, {}, facts, rules, None) == []
    before, after = stands(bare), stands(fine)
    assert Counter(line.duty for line in before.open()) == Counter(
        line.duty for line in after.open()
    )
