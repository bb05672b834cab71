"""What a rule file says it reads from the visit: each name and value is one there."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from findings.rules import loader, yamlfile
from findings.rules.binds import Binds
from findings.rules.loader import ruleset
from findings.rules.merging import WORST_FIRST
from findings.rules.rule import OUTCOMES, Rule
from findings.rules.visit import proposals
from findings.rules.yamlfile import RuleFileError
from findings.selectors.field.routes import items, labels
from inspections.services.entries import words

RULES = ruleset()
BOUND = {key: rule for key, rule in RULES.rules.items() if rule.binds}
HOUSE = {"state": "NC", "built_from": 2010, "built_to": 2010}


def binds_of(rule: Rule) -> Binds:
    assert rule.binds is not None
    return rule.binds


def said(house: dict[str, Any] = HOUSE, **records: dict[str, Any]) -> list[Any]:
    """Give what is proposed for a visit with one stop and these records."""
    stop = {"kind": "stop", "name": "Garage", "stop_kind": "garage"}
    whole = {"st": stop, "v": {"kind": "visit", "arrived_at": "2026-11-24T14:00:00Z"}}
    for key, fields in records.items():
        whole[key] = {"stop": "st", **fields}
    return proposals(whole, {}, house, RULES, None)


@pytest.mark.parametrize("rule", BOUND.values(), ids=lambda rule: rule.id)
def test_each_field_it_reads_is_in_the_vocabulary(rule: Rule) -> None:
    binds = binds_of(rule)
    kind = words().kinds[binds.record]

    for source in binds.inputs.values():
        if source.kind == "field":
            assert source.name in kind, source.name
            told = set(map(str, source.words or ()))
            allowed = {str(one) for one in kind[source.name].args}
            if (binds.record, source.name) == ("plate", "item"):
                allowed = set(items().plates)
            assert told <= allowed, (source.name, told - allowed)
    for name, values in binds.where.items():
        assert set(values) <= {str(one) for one in kind[name].args}


@pytest.mark.parametrize("rule", BOUND.values(), ids=lambda rule: rule.id)
def test_its_record_can_be_entered_on_some_stop(rule: Rule) -> None:
    record = binds_of(rule).record
    keys = [key for key, one in items().items.items() if one.record == record]
    offered = {
        key
        for group in (items().stops, items().rooms)
        for row in group.values()
        for key in row
    }

    assert set(keys) & offered
    assert record in labels().kinds


def test_every_rule_of_the_other_systems_is_bound_or_for_case_files() -> None:
    loose = {
        key
        for key, rule in RULES.rules.items()
        if not key.startswith("elec.") and rule.binds is None
    }

    assert loose == {"materials.lead_asbestos", "era.resolve"}


def test_a_reading_becomes_a_proposal_with_its_fact_and_margin() -> None:
    (found,) = said(
        o={"kind": "garage_opener", "turned_back": "no", "sensors": "present"}
    )

    assert (found.rule, found.consequence) == ("garage.door_reverse", "could_hurt")
    assert ("turned back", "no") in [(f["label"], f["value"]) for f in found.facts]
    assert found.passage == "garage.no_reverse"


def test_looked_none_differs_from_unanswered() -> None:
    silent = said(h={"kind": "water_heater", "relief_material": "copper"})
    told = said(h={"kind": "water_heater", "relief_pipe": "looked_none"})

    assert silent == []
    assert [one.passage for one in told] == ["wh.relief_missing"]


def test_an_estimate_asks_to_be_measured() -> None:
    (found,) = said(
        d={
            "kind": "wood_moisture",
            "reading_pct": "26",
            "how_known": "estimated",
            "material": "wood",
        }
    )

    assert not found.consequence
    assert [need["field"] for need in found.needs]
    assert "measure" in found.why


@pytest.mark.parametrize(
    ("first", "second", "outcome", "passage"),
    [
        ("6", "6", "mitigate", "radon.high"),
        ("6", "10", "retest", "radon.again_high"),
        ("3", "3", "consider", "radon.middle"),
    ],
)
def test_classes_of_a_few_rules_have_their_place_in_the_order(
    first: str, second: str, outcome: str, passage: str
) -> None:
    (found,) = said(
        r={
            "kind": "radon_test",
            "test_type": "simultaneous",
            "first_pcil": first,
            "second_pcil": second,
            "hours": 48,
            "closed_house": "yes",
        }
    )

    assert (found.outcome, found.passage) == (outcome, passage)


def test_every_outcome_that_speaks_has_its_place_in_the_order() -> None:
    assert set(WORST_FIRST) >= OUTCOMES - {"ok"}


def test_a_dated_row_that_comes_out_ok_says_nothing() -> None:
    older = HOUSE | {"built_from": 1990, "built_to": 1990}

    assert said(older, s={"kind": "stair", "steps": 3, "handrail": "looked_none"}) == []


def test_what_decides_about_an_exhaust_at_a_wall_is_asked() -> None:
    vent = {"kind": "wall_vent", "vent_kind": "mechanical", "to_window_in": "24"}

    (asked,) = said(w=vent)
    (beside,) = said(w=vent | {"above_window_in": "-6"})

    assert (asked.consequence, [n["field"] for n in asked.needs]) == (
        "",
        ["above_window_in"],
    )
    assert beside.passage == "vent.sidewall"
    assert said(w=vent | {"above_window_in": "14"}) == []


def test_the_unit_of_a_fact_is_told_in_words() -> None:
    (found,) = said(
        t={"kind": "hot_tap", "tap": "bath", "temp_f": "131", "how_known": "measured"}
    )

    assert {f["field"]: f["unit"] for f in found.facts}["temp_f"] == "°F"


def test_a_year_of_its_own_stands_before_the_houses() -> None:
    heater = {
        "kind": "water_heater",
        "closed_system": "yes",
        "expansion": "looked_none",
    }

    (old,) = said(h=heater | {"made_year": 1990})
    (new,) = said(h=heater)

    assert {old.rule, new.rule} == {"wh.general"}
    assert (old.outcome, new.outcome) == (
        "met_then_safer_now",
        "depends_on_adoption",
    )


@pytest.mark.parametrize(
    ("binds", "key", "says"),
    [
        ("{item: x}", "record", "names no kind"),
        ("{record: x, inputs: {nothing: y}}", "nothing", "is not an input"),
        ("{record: x, inputs: {a: {moon: y}}}", "moon", "not a key"),
        ("{record: x, inputs: {a: {words: {}}}}", "a", "is read from one of"),
        ("{record: x, inputs: {a: {visit: moon}}}", "visit", "is one of"),
        ("{record: x, asks: [a]}", "asks", "is not read from anywhere"),
    ],
)
def test_what_is_wrong_with_it_is_named(
    tmp_path: Path, binds: str, key: str, says: str
) -> None:
    folder = tmp_path / "rules" / "one"
    folder.mkdir(parents=True)
    (folder / "r.yaml").write_text(
        "schema: 1\nrules:\n- id: x.y\n  version: 1\n  system: s\n  title: t\n"
        "  inputs: {a: {kind: flag}}\n"
        "  rows: [{when: sure(a), outcome: ok, reason: r}]\n"
        f"  source: s\n  provenance: found\n  binds: {binds}\n"
    )

    with pytest.raises(RuleFileError) as refused:
        loader.read(tmp_path / "rules")

    assert (refused.value.key, refused.value.line > 0) == (key, True)
    assert says in str(refused.value)
    assert yamlfile.RuleFileError is RuleFileError
