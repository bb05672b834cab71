"""What must hold of every rule, whatever the figures: margins, units, dates, facts."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from findings.rules import engine, era, units
from findings.rules.engine import Outcome
from findings.rules.era import Dates, Line, Span
from findings.rules.inputs import BadInput
from findings.rules.loader import ruleset
from findings.rules.visit import proposals
from tests.bench.visits import house
from tests.support.random_rules import given as random_inputs

RULES = ruleset().rules
ADOPTED = (
    Line(1975, "1976-01-01"), Line(1987, "1988-01-01"), Line(1999, "2000-01-01"),
    Line(2003, "2004-01-01"), Line(2012, "2013-01-01"), Line(2018, "2019-01-01"),
)  # fmt: skip
GRAVITY = {"ok": 0, "informational": 0, "monitor": 1, "maintenance": 1}  # others 2

# For each: the input, what else is known, and values from bad to good.
MARGINS: list[tuple[str, str, dict[str, Any], list[str]]] = [
    (
        "stairs.geometry",
        "headroom",
        {"risers": [7], "treads": [11], "nosing": 1},
        ["70", "75.9", "78", "80", "90"],
    ),
    (
        "stairs.handrail",
        "height",
        {"risers": 12, "handrail": True},
        ["20", "31", "33.9", "34", "36"],
    ),
    (
        "guards.height_openings",
        "guard_height",
        {"drop": 60, "opening": 4},
        ["20", "35.8", "36", "42"],
    ),
    (
        "guards.height_openings",
        "opening",
        {"drop": 60, "guard_height": 36},
        ["9", "6", "4.1", "4", "2"],
    ),
    (
        "egress.window",
        "clear_width",
        {"clear_height": 40, "sill_height": 40},
        ["5", "19.8", "21", "40"],
    ),
    (
        "egress.window",
        "sill_height",
        {"clear_height": 40, "clear_width": 40},
        ["60", "44.2", "44", "30"],
    ),
    (
        "structure.wood_earth",
        "distance",
        {"member": "siding", "treated": False},
        ["1", "5.9", "6", "12"],
    ),
    (
        "structure.foundation_crack",
        "width",
        {"direction": "vertical", "displacement": 0},
        ["2", "0.3", "0.25", "0.1"],
    ),
    (
        "deck.ledger",
        "spacing",
        {"fastener": "lag", "joist_span": 12},
        ["30", "15.2", "15", "10"],
    ),
    (
        "site.grading",
        "fall",
        {"run": 10, "surface": "soil"},
        ["-3", "1", "5.9", "6", "12"],
    ),
    ("site.downspout", "extension", {"soil": "normal"}, ["0", "3.99", "4", "8"]),
    ("roof.min_slope", "rise_per_12", {"covering": "slate"}, ["1", "3.9", "4", "9"]),
    ("wh.tpr_pipe", "end_height", {"size_same": True}, ["30", "10", "6.1", "6", "2"]),
    (
        "hot_water.scald",
        "temp",
        {"fixture": "bath"},
        ["160", "130", "123", "120", "105"],
    ),
    (
        "gas.garage_elevation",
        "burner_height",
        {"fvir": False},
        ["3", "17.9", "18", "30"],
    ),
    (
        "gas.combustion_air.volume",
        "room_volume",
        {"btu": 40000},
        ["100", "1999", "2000", "9000"],
    ),
    ("vent.b_roof", "above_roof", {"slope_per_12": 8}, ["0.5", "1.49", "1.5", "3"]),
    (
        "drain.trap_arm",
        "length",
        {"diameter": 2, "code": "UPC"},
        ["90", "60.2", "60", "20"],
    ),
    (
        "moisture.wood",
        "reading",
        {"meter": "pin"},
        ["40", "20.5", "19", "16.5", "16", "8"],
    ),
    (
        "dryer.duct",
        "straight",
        {"edition": 2012, "elbows_90": 2},
        ["60", "25.01", "25", "5"],
    ),
    (
        "elec.panel.working_space",
        "depth",
        {"width": 30, "height": 80},
        ["10", "35.9", "36", "60"],
    ),
]


def outcome(rule: str, inputs: dict[str, Any], dates: Dates | None = None) -> Outcome:
    return engine.run(RULES[rule], inputs, dates or built(2015))


def built(first: int, last: int | None = None) -> Dates:
    return Dates(built=Span.of(first, last or first), adoption=ADOPTED)


@pytest.mark.parametrize(("rule", "name", "known", "values"), MARGINS)
def test_more_margin_never_worsens(
    rule: str, name: str, known: dict[str, Any], values: list[str]
) -> None:
    found = [outcome(rule, known | {name: value}).outcome for value in values]
    # Within a tape's tolerance nothing is said, on either side of a limit.
    grave = [GRAVITY.get(one, 2) for one in found if one != "undetermined"]

    assert grave == sorted(grave, reverse=True), list(zip(values, found, strict=True))
    assert grave[0] > grave[-1]


@given(
    inches=st.decimals("0.25", "120", places=2),
    unit=st.sampled_from(["in", "ft", "mm", "cm", "m"]),
)
@settings(max_examples=150)
def test_a_unit_never_changes_an_answer(inches: Any, unit: str) -> None:
    in_one = {"in": "1", "ft": "12", "mm": "1/25.4", "cm": "1/2.54", "m": "1/0.0254"}
    from fractions import Fraction

    parts = [Fraction(part) for part in in_one[unit].split("/")]
    size = parts[0] / (parts[1] if len(parts) > 1 else 1)
    amount = Fraction(inches) / size
    written = f"{float(amount):.10f}".rstrip("0").rstrip(".") + f" {unit}"
    known = {"drop": "60", "opening": "4"}

    plain = outcome("guards.height_openings", known | {"guard_height": f"{inches}"})
    other = outcome("guards.height_openings", known | {"guard_height": written})

    assert other.outcome == plain.outcome


def test_celsius_is_read_as_what_it_is() -> None:
    assert outcome("hot_water.scald", {"temp": "60 °C", "fixture": "bath"}).outcome == (
        outcome("hot_water.scald", {"temp": "140", "fixture": "bath"}).outcome
    )
    assert units.converted("49 C", "F") == "120.2"


def test_an_unknown_unit_names_those_that_are_taken() -> None:
    with pytest.raises(BadInput) as refused:
        outcome("guards.height_openings", {"drop": "5 furlongs"})

    assert refused.value.field == "drop"
    assert "one of in, ft, mm, cm, m" in str(refused.value)


@pytest.mark.parametrize("rule", RULES.values(), ids=lambda rule: rule.id)
def test_a_wider_range_of_dates_never_makes_an_answer_certain(rule: Any) -> None:
    random = Random(rule.id)
    for _ in range(40):
        inputs = random_inputs(random, rule)
        inputs = {k: v for k, v in inputs.items() if k not in rule.dates}
        first = random.randint(1940, 2020)
        narrow = built(first, first + random.randint(0, 12))
        wide = built(first - random.randint(0, 15), first + random.randint(12, 30))
        try:
            one = engine.run(rule, inputs, narrow)
            two = engine.run(rule, inputs, wide)
        except BadInput:
            continue
        if one.edition.get("status") == era.CANNOT_TELL and two.edition:
            assert two.edition["status"] == era.CANNOT_TELL, (inputs, narrow, wide)


@pytest.mark.parametrize("rule", RULES.values(), ids=lambda rule: rule.id)
def test_an_unrelated_fact_changes_nothing(rule: Any) -> None:
    random = Random(rule.id)
    for _ in range(10):
        inputs = random_inputs(random, rule)
        try:
            one = engine.run(rule, inputs, built(1985))
        except BadInput:
            continue
        two = engine.run(rule, inputs | {"moon_phase": "full"}, built(1985))
        assert replace(one, steps=()) == replace(two, steps=())


def test_a_note_elsewhere_changes_no_proposal() -> None:
    facts = {"state": "NC", "built_from": 1978, "built_to": 1978}
    whole = house(120)
    note = {"n": {"kind": "note", "stop": "st-3", "text": "The owner was kind."}}

    assert proposals(whole | note, {}, facts, ruleset(), None) == proposals(
        whole, {}, facts, ruleset(), None
    )
