"""Two facts that cannot both be so: a line names both values, no finding is made."""

from __future__ import annotations

from typing import Any

import pytest

from findings.rules import loader
from findings.rules.meaning import Reader
from findings.rules.proposal import Proposal
from findings.rules.yamlfile import RuleFileError
from tests.findings.rule_visits import (
    HOUSE_1978,
    RECEPTACLE,
    RULES,
    SERVICE,
    SPACE,
    fed,
    offer,
)

Records = dict[str, dict[str, Any]]
FEEDER: dict[str, Any] = {"amps": 60, "poles": 2, "size": "6", "material": "copper"}
HEATER: dict[str, Any] = {
    "amps": 30, "poles": 1, "size": "10", "load": "water_heater",
    "plate_watts": 4500, "plate_volts": 240,
}  # fmt: skip
SMOKE: dict[str, Any] = {"kind": "alarm", "stop": "bed", "alarm_kind": "smoke"}
LOOK: dict[str, Any] = {
    "kind": "alarm_look", "stop": "bed", "alarm_kind": "smoke", "answer": "looked_none",
}  # fmt: skip


def seen(what: str, answer: str) -> dict[str, Any]:
    return {"kind": "observation", "stop": "garage", "what": what, "answer": answer}


def wire(size: str) -> dict[str, Any]:
    """A panel whose feeder arrives with this wire; at its breaker it is 6 copper."""
    records = fed(conductor_size=size, conductor_material="copper",
                  conductor_how="read", bus_amps=60)  # fmt: skip
    return {**records, "s4": {**records["s4"], **FEEDER}}


def note(reach: str, first: int, last: int) -> dict[str, Any]:
    return {"kind": "age_note", "reach": reach, "year_from": first, "year_to": last}


BASIN = {**RECEPTACLE, "gfci_kind": "none"}
PAIRS: list[tuple[str, Records, dict[str, Any], list[Any], list[str]]] = [
    (
        "a panel called the main shut-off though a breaker of another one feeds it",
        {**fed(role="service_disconnect", neutral_and_ground="joined"),
         "panel": {**SERVICE, "role": "not_known"}},
        {}, ["service_disconnect", "s4"], ["Kitchen panel", "Main panel"],
    ),
    (
        "a feeder of two sizes, at its breaker and where it arrives",
        wire("10"), {}, ["6", "10"], ["as 6", "as 10"],
    ),
    (
        "240 V on the plate, one pole at the breaker",
        {"panel": SERVICE, "s4": {**SPACE, **HEATER}},
        {}, [240, 1], ["240 V", "one pole"],
    ),
    (
        "two poles in a panel of one leg",
        {"panel": {**SERVICE, "volts": "120"}, "s4": {**SPACE, "poles": 2}},
        {}, [2, "120"], ["2 poles", "120 V"],
    ),
    (
        "a house dated backwards",
        {"r": BASIN}, {"built_from": 1990, "built_to": 1978},
        [1990, 1978], ["1990", "1978"],
    ),
    (
        "a bath redone before the house stood",
        {"r": BASIN, "n": note("bath", 1960, 1962)},
        {"built_from": 1978, "built_to": 1978}, [1962, 1978], ["1962", "1978"],
    ),
    (
        "a note on age that runs backwards",
        {"r": BASIN, "n": note("bath", 2010, 2005)}, {}, [2010, 2005], ["2010", "2005"],
    ),
    (
        "looked for and none, beside one that is recorded",
        {"a": SMOKE, "l": LOOK}, {}, ["looked_none", "smoke"], ["Bedroom"],
    ),
    (
        "one thing answered both ways at one stop",
        {"a": seen("drip_loop", "yes"), "b": seen("drip_loop", "looked_none")},
        {}, ["yes", "looked_none"], ["drip loop"],
    ),
    (
        "nothing that burns fuel, and a gas line",
        {"a": seen("fuel_appliance", "looked_none"),
         "g": {"kind": "gas_line", "stop": "garage", "appliance": "furnace"}},
        {}, ["looked_none", "furnace"], ["gas line"],
    ),
    (
        "a panel called the main shut-off behind one that has a main of its own",
        {**fed(role="service_disconnect", fed_by_space=None),
         "panel": {**SERVICE, "role": "not_known"}},
        {}, ["service_disconnect", "panel"], ["Kitchen panel", "Main panel"],
    ),
    (
        "a device for expansion at the heater and none by the gauge",
        {"h": {"kind": "water_heater", "stop": "garage", "expansion": "present",
               "closed_system": "yes"},
         "w": {"kind": "water_reading", "stop": "garage", "expansion": "looked_none"}},
        {}, ["present", "looked_none"], ["heater", "gauge"],
    ),
    (
        "more correct than tried",
        {"kitchen": {"kind": "stop", "stop_kind": "room", "name": "Kitchen",
                     "closed_at": "2026-03-04T15:00:00Z",
                     "receptacles_tried": 4, "receptacles_correct": 5}},
        {}, [5, 4], ["5 receptacles correct", "4 tried"],
    ),
]  # fmt: skip


def asked(records: Records, house: dict[str, Any]) -> list[Proposal]:
    return offer(records, house={**HOUSE_1978, **house})


@pytest.mark.parametrize(
    ("records", "house", "values", "words"),
    [case[1:] for case in PAIRS],
    ids=[case[0] for case in PAIRS],
)
def test_the_line_names_both_values_and_nothing_is_concluded(
    records: Records, house: dict[str, Any], values: list[Any], words: list[str]
) -> None:
    found = asked(records, house)
    (line,) = [one for one in found if one.rule == "facts.contradict"]

    assert [fact["value"] for fact in line.facts] == values
    assert all(word in line.why for word in words), line.why
    assert line.why.endswith("holds?")
    assert len(line.needs) == 2
    assert not [one for one in found if one.consequence], [o.rule for o in found]


def test_the_same_facts_without_their_counterpart_do_conclude() -> None:
    """What keeps silent above is the contradiction, not the case."""
    wrong_basin = asked({"r": BASIN}, {})
    heater = asked(
        {"panel": SERVICE, "s4": {**SPACE, **HEATER, "plate_volts": 120}}, {}
    )
    thin = {**wire("10"), "s4": {**wire("10")["s4"], "size": None}}

    assert [one.rule for one in wrong_basin if one.consequence] == [
        "elec.gfci.location"
    ]
    assert [one.rule for one in heater if one.consequence] == [
        "elec.water_heater.circuit"
    ]
    assert "elec.ocpd.small_conductor" not in [one.rule for one in asked(thin, {})]
    assert [one.rule for one in asked(thin, {}) if one.consequence]


def test_facts_that_fit_together_are_not_asked_about() -> None:
    fit = {
        **wire("6"),
        "a": SMOKE,
        "l": {**LOOK, "stop": "kitchen"},
        "o": seen("drip_loop", "yes"),
        "f": seen("fuel_appliance", "looked_none"),
        "g": {"kind": "gas_line", "stop": "garage", "appliance": "grill"},
        "b": {"kind": "garage_burner", "stop": "garage", "burner_in": "20"},
        "n": note("bath", 1978, 1980),
    }

    assert "facts.contradict" not in [one.rule for one in asked(fit, {})]


def test_an_alarm_that_is_recorded_still_speaks_of_its_own_age() -> None:
    old = {**SMOKE, "made_year": 2001, "sounded": "no"}

    found = asked({"a": old, "l": LOOK}, {})

    assert [one.rule for one in found if one.consequence] == ["elec.smoke.age"]


def test_a_rule_that_is_contradicted_by_its_own_inputs_names_both() -> None:
    stair = {"kind": "stair", "stop": "kitchen", "steps": 12, "handrail": "looked_none",
             "rail_height_in": "34", "how_known": "measured"}  # fmt: skip

    (line,) = [one for one in asked({"s": stair}, {}) if one.rule == "stairs.handrail"]

    assert (line.outcome, line.consequence) == ("undetermined", "")
    assert {need["field"] for need in line.needs} == {"handrail", "rail_height_in"}
    assert "34 in" in line.why


def test_the_page_of_a_panel_says_it_beside_the_value() -> None:
    records = {"panel": SERVICE, "s4": {**SPACE, **HEATER}}

    told, *_ = Reader(records, {}, RULES).space("s4")

    assert told.weighs
    assert "240 V on the plate" in told.text


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("{when: a > b, between: [a], say: s}", "names two inputs"),
        ("{when: a > b, between: [a, c], say: s}", "is not an input"),
        ("{when: a > b, between: [a, b]}", "is missing"),
        ("{when: a > z, between: [a, b], say: s}", "which nobody gives"),
    ],
)
def test_a_section_that_cannot_be_read_is_refused(
    tmp_path: Any, line: str, says: str
) -> None:
    folder = tmp_path / "one"
    folder.mkdir()
    (folder / "r.yaml").write_text(
        "schema: 1\nrules:\n- id: x.y\n  version: 1\n  system: s\n  title: t\n"
        "  inputs: {a: {kind: number}, b: {kind: number}}\n"
        f"  contradictions: [{line}]\n"
        "  rows: [{when: a > 0, outcome: ok, reason: r}]\n"
        "  source: s\n  provenance: found\n"
    )

    with pytest.raises(RuleFileError, match=says):
        loader.read(tmp_path)
