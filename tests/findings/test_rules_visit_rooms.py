"""From receptacles, walls, boxes and dates to proposals."""

from typing import Any

import pytest

from tests.findings.rule_visits import (
    RECEPTACLE,
    SERVICE,
    SPACE,
    of,
    offer,
    rules,
    stops,
)


@pytest.mark.parametrize(
    ("lamps", "passage"),
    [
        (["hot_neutral"], "elec.receptacle.open_ground"),
        (["hot_ground"], "elec.receptacle.open_neutral"),
        (["neutral_ground", "hot_neutral"], "elec.receptacle.reversed"),
        (["neutral_ground", "hot_ground"], "elec.receptacle.hot_ground"),
        (["neutral_ground"], "elec.receptacle.unclear"),
        (["neutral_ground", "hot_neutral", "hot_ground"], "elec.receptacle.unclear"),
    ],
)
def test_lamp_pairs_are_decoded(lamps: list[str], passage: str) -> None:
    found = offer({"r": {**RECEPTACLE, "lamps": lamps}})

    assert [one.passage for one in found] == [passage]


def test_hot_and_ground_exchanged_asks_to_try_again_without_loads() -> None:
    odd = {**RECEPTACLE, "lamps": ["neutral_ground", "hot_ground"]}

    assert offer({"r": odd})[0].needs[0]["field"] == "load_present"
    assert offer({"r": {**odd, "load_present": "no"}})[0].needs == []


def test_a_device_that_fails_is_a_hazard_and_no_matter_of_dates() -> None:
    dead = {**RECEPTACLE, "gfci_kind": "device", "gfci_own_button_trips": "no"}

    assert rules(offer({"r": dead})) == ["elec.gfci.test"]


def test_no_lamp_asks_for_switch_and_breaker_first() -> None:
    dark = {**RECEPTACLE, "lamps_none": True}

    assert [o.outcome for o in offer({"r": {**dark, "repeated": None}})] == [
        "undetermined"
    ]
    assert offer({"r": {**dark, "repeated": True}})[0].passage == "elec.receptacle.dead"


def test_correct_lamps_in_an_old_house_say_what_they_cannot_show() -> None:
    kitchen = {**stops()["kitchen"], "receptacles_correct": 5}
    old = {"state": "NC", "built_from": 1951, "built_to": 1951}

    assert offer({"kitchen": kitchen}) == []
    found = offer({"kitchen": kitchen}, house=old)
    assert [one.passage for one in found] == ["elec.receptacle.limits"]


def test_protection_is_inherited_from_the_one_it_died_with() -> None:
    bare = {"r": {**RECEPTACLE, "gfci_kind": "could_not_tell"}}
    device = {**RECEPTACLE, "place": "hall bath", "gfci_kind": "device",
              "gfci_own_button_trips": "yes", "gfci_resets": "yes",
              "died_with": ["r"]}  # fmt: skip

    assert rules(offer({"r": {**bare["r"], "gfci_kind": "none"}})) == [
        "elec.gfci.location"
    ]
    assert offer(bare) == []
    assert offer({**bare, "d": device}) == []


def test_a_protecting_breaker_ahead_protects_the_receptacle() -> None:
    records = {
        "panel": SERVICE,
        "s4": {**SPACE, "protection": "gfci"},
        "r": {**RECEPTACLE, "gfci_kind": "breaker", "circuit_space": "s4"},
    }

    assert offer(records) == []


@pytest.mark.parametrize(
    ("test", "passage"),
    [
        ({"gfci_own_button_trips": "no"}, "elec.gfci.no_trip"),
        ({"gfci_own_button_trips": "no", "gfci_tester_trips": "yes"},
         "elec.gfci.button_failed"),
        ({"gfci_own_button_trips": "yes", "gfci_resets": "no"}, "elec.gfci.no_reset"),
        ({"gfci_own_button_trips": "yes", "gfci_tester_trips": "no",
          "lamps": ["hot_neutral", "hot_ground"]}, "elec.gfci.tester_failed"),
    ],
)  # fmt: skip
def test_button_and_tester_are_read_together(
    test: dict[str, Any], passage: str
) -> None:
    found = offer({"r": {**RECEPTACLE, "gfci_kind": "device", **test}})

    assert passage in {one.passage for one in found}


def test_no_trip_by_tester_proves_nothing_without_a_ground() -> None:
    found = offer(
        {"r": {**RECEPTACLE, "gfci_kind": "device", "gfci_own_button_trips": "yes",
               "gfci_tester_trips": "no", "lamps": ["hot_neutral"]}}
    )  # fmt: skip

    assert [one.passage for one in found] == ["elec.receptacle.open_ground"]


def test_contradicting_tests_ask_to_repeat_the_test_and_name_both() -> None:
    device = {**RECEPTACLE, "gfci_kind": "device", "gfci_own_button_trips": "yes",
              "died_with": ["r"]}  # fmt: skip
    other = {**RECEPTACLE, "gfci_kind": "none"}
    asked = of(offer({"d": device, "r": other}), "facts.repeat_test")

    assert set(asked.subjects) == {"d", "r"}
    assert asked.title.startswith("Repeat the test")
    assert {need["field"] for need in asked.needs} == {"gfci_own_button_trips"}


@pytest.mark.parametrize(
    ("built", "outcome", "status"),
    [
        (1970, "met_then_safer_now", "not_required"),
        (1990, "depends_on_adoption", "cannot_tell"),
        (2022, "defect_at_construction", "required"),
    ],
)
def test_the_calendar_uses_the_sourced_timeline_and_assumes_no_lag(
    built: int, outcome: str, status: str
) -> None:
    house = {"state": "NC", "built_from": built, "built_to": built}
    found = offer({"r": {**RECEPTACLE, "gfci_kind": "none"}}, house=house)

    assert [(o.outcome, o.edition["status"]) for o in found] == [(outcome, status)]
    assert found[0].age_note


def test_an_age_note_of_a_room_answers_for_that_room_only() -> None:
    note = {"kind": "age_note", "reach": "bath", "year_from": 2022, "year_to": 2022,
            "why": "new tiles", "how_known": "told"}  # fmt: skip
    bare = {**RECEPTACLE, "gfci_kind": "none"}
    garage = {**bare, "stop": "garage", "receptacle_kind": "garage"}
    bath = offer({"r": bare, "note": note})[0]
    beside = offer({"r": garage, "note": note})[0]

    assert bath.outcome == "defect_at_construction"
    assert beside.outcome == "depends_on_adoption"


def test_a_range_of_years_that_straddles_cannot_tell() -> None:
    house = {"state": "NC", "built_from": 1970, "built_to": 1980}
    found = offer({"r": {**RECEPTACLE, "gfci_kind": "none"}}, house=house)

    assert found[0].outcome == "depends_on_adoption"


def test_the_states_duty_outranks_the_calendar() -> None:
    bare = {"r": {**RECEPTACLE, "gfci_kind": "none"}}
    duty = {"elec.gfci.location": "NC-1108-d"}
    found = offer(bare, house={"built_from": 1960, "built_to": 1960}, pack=duty)

    assert found[0].outcome == "deficient_by_duty"
    assert found[0].edition["decided_by"] == "duty NC-1108-d"


def test_hazards_come_first_then_the_pack_then_the_calendar_then_questions() -> None:
    records = {
        "panel": {**SERVICE, "labels": "none"},
        "s4": {**SPACE, "amps": 30},
        "s5": {**SPACE, "number": 5, "under_screw": 2},
        "r": {**RECEPTACLE, "gfci_kind": "none", "tamper_resistant": "no"},
    }
    found = offer(records, pack=["elec.gfci.location"])

    assert rules(found) == [
        "elec.ocpd.small_conductor",
        "elec.gfci.location",
        "elec.panel.directory",
        "elec.receptacle.tamper",
        "elec.terminal.double_tap_breaker",
    ]


def wall(**more: Any) -> dict[str, Any]:
    return {"kind": "wall", "stop": "bed", "place": "north", "wall_kind": "wall",
            "length_ft": "14", "receptacles_at_ft": ["7"], "how_known": "measured",
            **more}  # fmt: skip


def test_a_railing_counts_as_wall() -> None:
    house = {"built_from": 1985, "built_to": 1985}
    for kind in ("wall", "railing", "fixed_glass"):
        found = offer({"w": wall(wall_kind=kind)}, house=house)
        assert rules(found) == ["elec.receptacle.spacing"], kind


def test_a_railing_at_stairs_is_left_to_local_reading() -> None:
    stairs = {**stops()["bed"], "name": "Stairs", "room_use": "stairs"}

    assert offer({"st": stairs, "w": wall(stop="st", wall_kind="railing")}) == []


def test_an_estimated_wall_asks_to_be_measured() -> None:
    found = offer({"w": wall(how_known="estimated")})

    assert [one.outcome for one in found] == ["undetermined"]


def test_an_island_and_a_counter_are_judged_in_their_own_units() -> None:
    island = wall(stop="kitchen", wall_kind="island", long_in="60", short_in="36",
                  receptacles_at_ft=[], length_ft=None)  # fmt: skip
    counter = wall(stop="kitchen", wall_kind="counter", length_ft="10",
                   receptacles_at_ft=["1", "9"])  # fmt: skip
    found = offer({"i": island, "c": counter})

    assert of(found, "elec.receptacle.island").passage == "elec.spacing.island"
    assert of(found, "elec.receptacle.counter").blanks["largest_gap_in"] == "96"


@pytest.mark.parametrize(
    ("height", "live", "timing"),
    [("40", "yes", "today"), ("96", "yes", "before_move_in"), ("40", "no",
                                                               "before_move_in")],
)  # fmt: skip
def test_reach_and_live_parts_move_the_timing_of_an_open_box(
    height: str, live: str, timing: str
) -> None:
    box = {"kind": "box", "stop": "garage", "box_kind": "junction", "cover": "missing",
           "live_parts_seen": live, "height_in": height}  # fmt: skip
    found = offer({"b": box})[0]

    assert found.timing == timing
    assert found.blanks["reach"] == f"{height} in above the floor"


@pytest.mark.parametrize(("use", "speaks"), [("dining", True), ("bedroom", False)])
def test_a_locked_room_silences_alarms_only_where_people_sleep(use, speaks):
    shut = {"kind": "stop", "stop_kind": "room", "name": "Shut", "room_use": use}
    locked = {"kind": "limit", "reason": "locked", "reach": ["shut"]}
    none = {"kind": "alarm_look", "stop": "bed", "alarm_kind": "smoke",
            "answer": "looked_none"}  # fmt: skip

    found = offer({"shut": shut, "l": locked, "none": none})

    assert ("elec.smoke.location" in rules(found)) is speaks
