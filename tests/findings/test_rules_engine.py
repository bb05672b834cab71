"""One rule over one subject: order of rows, what is unknown, what cannot be."""

from typing import Any

import pytest

from findings.rules import engine, loader
from findings.rules.engine import run
from findings.rules.era import Dates, Line, Span
from findings.rules.inputs import BadInput

RULES = loader.ruleset().rules
OVER: dict[str, Any] = {
    "material": "copper",
    "size": "12",
    "ocpd": 30,
    "load_type": "general",
}


def say(rule: str, dates: Dates | None = None, /, **given: Any) -> engine.Outcome:
    return run(RULES[rule], given, dates)


def test_an_outcome_carries_reason_margin_figures_and_trace() -> None:
    found = say("elec.ocpd.small_conductor", **OVER)

    assert found.outcome == "defect_now"
    assert found.values == {"limit_A": 20, "over_by_A": 10}
    assert found.margin == "10 A over"
    assert "30 A protects 12" in found.why
    assert found.trace[-1].startswith("row 3: yes: ocpd (30) > limit_A (20)")
    assert found.row is not None
    assert (found.row.consequence, found.row.trade) == ("could_hurt", "electrician")


def test_nine_hundred_amperes_on_a_small_wire_asks_and_accuses_nobody() -> None:
    found = say("elec.ocpd.small_conductor", **{**OVER, "size": "14", "ocpd": 900})

    assert found.outcome == "undetermined"
    assert found.confirm[0][0] == "ocpd"
    assert "900 A on 14" in found.confirm[0][1]
    assert found.row is None


@pytest.mark.parametrize(
    ("rule", "field", "value"),
    [
        ("elec.service.voltage", "leg_a", -3),
        ("elec.service.voltage", "leg_a", 4000),
        ("elec.service.voltage", "leg_a", "many"),
        ("elec.service.voltage", "leg_a", True),
        ("elec.service.voltage", "drop_conductors", "2.5"),
        ("elec.ocpd.small_conductor", "ocpd", -20),
        ("elec.ocpd.small_conductor", "size", "13"),
        ("elec.ocpd.small_conductor", "material", "tin"),
        ("elec.tester.decode", "slots", 4),
        ("elec.tester.decode", "lamp_HN", "bright"),
        ("elec.gfci.location", "receptacle_replaced_year", 85),
        ("elec.gfci.location", "protected", "perhaps"),
        ("elec.receptacle.spacing", "receptacle_positions", "left"),
        ("elec.tester.limits", "slot_potentials", 5),
        ("era.resolve", "rule_effective", "1973-13-01"),
        ("elec.panel.directory", "fraction_identified", 2),
    ],
)
def test_a_value_that_cannot_be_is_refused_naming_its_field(
    rule: str, field: str, value: Any
) -> None:
    with pytest.raises(BadInput) as error:
        say(rule, **{field: value})

    assert error.value.field == field
    assert str(error.value).startswith(f"{field}: ")


@pytest.mark.parametrize("rule", sorted(RULES))
def test_a_rule_that_knows_nothing_finds_nothing(rule: str) -> None:
    found = say(rule)

    assert found.outcome == "undetermined"
    assert found.row is None


@pytest.mark.parametrize("rule", sorted(RULES))
def test_every_input_given_as_unknown_is_the_same_as_not_given(rule: str) -> None:
    said = {
        name: "unknown"
        for name, spec in RULES[rule].inputs.items()
        if spec.kind != "said"
    }

    assert say(rule, **said).outcome == "undetermined"


def test_needs_name_the_facts_that_would_settle_it() -> None:
    found = say("elec.service.rating", main_ocpd=200, panel_bus=200)

    assert found.outcome == "undetermined"
    assert {"sec_material", "sec_size"} <= set(found.needs)
    assert "service conductor size" in found.why
    assert "rating_A" not in found.values


def test_what_is_unknown_may_excuse_but_never_accuse() -> None:
    near = say(
        "elec.service_drop.openings", horizontal_distance=1, opening="openable_window"
    )

    assert near.outcome == "undetermined"
    assert "above_top_of_window" in near.needs


def test_a_grave_fact_is_said_though_a_lesser_one_is_unknown() -> None:
    found = say("elec.service.rating", main_ocpd=200, panel_bus=100)

    assert found.outcome == "defect_now"


def test_a_hazard_comes_before_the_calendar() -> None:
    old = Dates(built=Span.of(1950))
    found = say("elec.gfci.location", old, location="bathroom", device_button="no_trip")

    assert found.outcome == "defect_now"
    assert found.edition == {}


def test_the_edition_says_how_it_was_decided() -> None:
    dates = Dates(built=Span.of(2022), adoption=(Line(2020, "2021-11-01"),))
    found = say(
        "elec.gfci.location", dates, location="basement_finished", protected=False
    )

    assert found.outcome == "defect_at_construction"
    assert found.edition["edition"] == 2020
    assert "in force since 2021-11-01" in found.edition["decided_by"]


def test_a_rule_from_memory_says_so_in_its_certainty() -> None:
    assert "rests on memory" in say("elec.box.covers", uncovered_boxes=1).certainty
    assert "memory" not in say("elec.ocpd.small_conductor", **OVER).certainty
    assert "cannot tell" in say("elec.box.covers").certainty


def test_same_facts_give_the_same_outcome_byte_for_byte() -> None:
    assert say("elec.ocpd.small_conductor", **OVER) == say(
        "elec.ocpd.small_conductor", **dict(reversed(OVER.items()))
    )


@pytest.mark.parametrize(
    ("given", "size"),
    [
        ("#12", "12"),
        ("12 AWG", "12"),
        (12, "12"),
        ("0000", "4/0"),
        ("250 kcmil", "250"),
    ],
)
def test_sizes_are_read_in_the_ways_people_write_them(given: Any, size: str) -> None:
    found = say("elec.ampacity.table", material="cu", size=given, column=75)

    assert found.fields["size"] == size


# NEC Table 310.16 and the printed dwelling table (from public secondary sources): the
# 83 percent formula must choose the printed size for each rating, and no smaller one.
PRINTED = {
    100: ("4", "2"), 110: ("3", "1"), 125: ("2", "1/0"), 150: ("1", "2/0"),
    175: ("1/0", "3/0"), 200: ("2/0", "4/0"), 225: ("3/0", "250"),
    250: ("4/0", "300"), 300: ("250", "350"), 350: ("350", "500"), 400: ("400", "600"),
}  # fmt: skip
LADDER = [
    "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0",
    "250", "300", "350", "400", "500", "600",
]  # fmt: skip


@pytest.mark.parametrize("rating", PRINTED)
@pytest.mark.parametrize("column", [0, 1])
def test_printed_dwelling_sizes_follow_from_the_formula(
    rating: int, column: int
) -> None:
    material, size = ("cu", "al")[column], PRINTED[rating][column]
    smaller = LADDER[LADDER.index(size) - 1]
    rule = "elec.service.dwelling_conductors"

    fits = say(rule, service_rating=rating, material=material, size=size)
    short = say(rule, service_rating=rating, material=material, size=smaller)

    assert (fits.outcome, short.outcome) == ("ok", "defect_now")


def test_ampacities_rise_with_size_and_with_temperature() -> None:
    rows = loader.ruleset().tables.by_id["ampacity"].rows
    for family in ("cu", "al"):
        own = [row for row in rows if row["family"] == family]
        own.sort(key=lambda row: LADDER.index(row["size"]))
        for column in ("c60", "c75", "c90"):
            values = [row[column] for row in own]
            assert values == sorted(set(values))
        assert all(row["c60"] < row["c75"] < row["c90"] for row in own)


# UL 943 as quoted on public pages: 5.59 s at 6 mA, 1 s at 20 mA, 25 ms at 264 mA.
@pytest.mark.parametrize(
    ("current", "seconds"), [(6, 5.59), (20, 1.0), (100, 0.1001), (264, 0.025)]
)
def test_trip_times_follow_the_curve(current: int, seconds: float) -> None:
    found = say("elec.gfci.trip", current=current, trips=True)

    assert float(found.values["max_time_s"]) == pytest.approx(seconds, rel=0.01)


LAMP_PAIRS = (("lamp_NG", "neutral", "ground"), ("lamp_HN", "hot", "neutral"),
              ("lamp_HG", "hot", "ground"))  # fmt: skip
# Wires behind the three slots for each plain fault: the voltage model of the lamps,
# an open slot feeding none. Common practice, compared with a maker's list of patterns.
MODEL = [
    ({"hot": 120, "neutral": 0, "ground": 0}, "correct"),
    ({"hot": 120, "neutral": 0, "ground": None}, "open_ground"),
    ({"hot": 120, "neutral": None, "ground": 0}, "open_neutral"),
    ({"hot": None, "neutral": 0, "ground": 0}, "open_hot"),
    ({"hot": 0, "neutral": 120, "ground": 0}, "hot_neutral_reversed"),
    ({"hot": 0, "neutral": 0, "ground": 120}, "hot_ground_reversed"),
    ({"hot": 0, "neutral": 120, "ground": 120}, "correct"),
    ({"hot": 120, "neutral": -120, "ground": 0}, "two_hots_or_240V"),
]


@pytest.mark.parametrize(("slots", "shows"), MODEL)
def test_lamps_decoded_agree_with_the_voltage_model(
    slots: dict[str, Any], shows: str
) -> None:
    lamps: dict[str, Any] = {
        lamp: "on"
        if None not in (slots[a], slots[b]) and abs(slots[a] - slots[b]) >= 90
        else "off"
        for lamp, a, b in LAMP_PAIRS
    }

    if shows == "correct" and slots["ground"] == 120:
        # Reversed with a false ground: every metal case live, and all lamps say correct
        # only because hot and ground differ. This is what a tester cannot show.
        assert lamps == {"lamp_NG": "off", "lamp_HN": "on", "lamp_HG": "on"}
    assert say("elec.tester.decode", **lamps).values["indication"] == shows
    modelled = say("elec.tester.limits", slot_potentials=slots)
    assert modelled.values["shows"] == shows
