"""What was found off, bare, untripped or missing: each is asked or told, by place."""

from __future__ import annotations

from typing import Any

import pytest

from tests.findings.rule_visits import (
    RECEPTACLE,
    SERVICE,
    SPACE,
    fed,
    of,
    offer,
    rules,
    stops,
)

AHEAD = {**RECEPTACLE, "stop": "kitchen", "receptacle_kind": "counter",
         "gfci_kind": "upstream", "gfci_tester_trips": "no"}  # fmt: skip
GROUNDED = ["hot_neutral", "hot_ground"]
BOX: dict[str, Any] = {"kind": "box", "stop": "kitchen", "box_kind": "switch",
                       "cover": "missing", "place": "by the door"}  # fmt: skip


def test_a_receptacle_said_to_be_guarded_that_does_not_trip_is_never_silent() -> None:
    (told,) = offer({"r": {**AHEAD, "lamps": GROUNDED}})
    (asked,) = offer({"r": AHEAD})
    unproved = offer({"r": {**AHEAD, "lamps": ["hot_neutral"]}})

    assert (told.passage, told.consequence) == ("elec.gfci.ahead_failed", "could_hurt")
    assert [need["field"] for need in asked.needs] == ["lamps"]
    button = of(unproved, "elec.gfci.test")
    assert [need["field"] for need in button.needs] == ["protected_by"]
    assert "press the button of the device ahead" in button.why


def test_live_parts_without_a_cover_are_an_electricians_work() -> None:
    dead = of(offer({"b": BOX}), "elec.receptacle.cover_plate")
    live = of(offer({"b": {**BOX, "live_parts_seen": "yes"}}),
              "elec.receptacle.cover_plate")  # fmt: skip
    low = {**BOX, "live_parts_seen": "yes", "height_in": "18"}

    assert dead.trade == "handy_owner"
    assert (live.trade, live.passage) == ("electrician", "elec.receptacle.cover_live")
    assert of(offer({"b": low}), "elec.receptacle.cover_plate").timing == "today"


def test_heights_stay_with_their_places_when_findings_are_joined() -> None:
    high = {**BOX, "box_kind": "junction", "height_in": "90"}
    low = {**high, "stop": "garage", "place": "behind the shelf", "height_in": "70"}

    (both,) = offer({"a": high, "b": low})
    (same,) = offer({"a": high, "b": {**low, "height_in": "90"}})

    assert both.blanks["place"] == (
        "Garage, behind the shelf (70 in above the floor); and Kitchen, by the door"
        " (90 in above the floor)"
    )
    assert "reach" not in both.blanks
    assert same.blanks["reach"] == "90 in above the floor"
    assert "(" not in same.blanks["place"]


def test_figures_that_differ_stand_in_the_order_of_their_places() -> None:
    panel = {"panel": SERVICE}
    spaces = {
        f"s{number}": {**SPACE, "number": number, "amps": amps}
        for number, amps in ((2, 30), (4, 40), (6, 30))
    }

    (found,) = offer({**panel, **spaces})

    assert found.blanks["place"] == "Garage, Main panel, space 2, space 4 and space 6"
    assert found.blanks["ocpd"] == "30, 40 and 30"
    assert found.blanks["size"] == "12"


@pytest.mark.parametrize("state", ["off", "tripped"])
def test_a_breaker_found_off_or_tripped_is_asked_about(state: str) -> None:
    found = {**SPACE, "state": state}

    asked = of(offer({"panel": SERVICE, "s4": found}), "elec.breaker.state")

    assert (asked.outcome, asked.consequence) == ("undetermined", "")
    assert [need["field"] for need in asked.needs] == ["state_reason"]
    assert state in asked.why
    answered = offer({"panel": SERVICE, "s4": {**found, "state_reason": "spare"}})
    assert [one.needs for one in answered if one.rule == "elec.breaker.state"] in (
        [], [[]],
    )  # fmt: skip


def test_a_breaker_that_is_on_is_not_asked_about() -> None:
    assert offer({"panel": SERVICE, "s4": {**SPACE, "state": "on"}}) == []


def test_a_shared_neutral_without_a_tie_is_told_by_its_date() -> None:
    shared = {**SPACE, "neutral_shared": True, "handle_tie": "looked_none"}
    new = {"state": "", "built_from": 2022, "built_to": 2022}

    (old,) = offer({"panel": SERVICE, "s4": shared})
    (recent,) = offer({"panel": SERVICE, "s4": shared}, house=new)
    (same,) = offer({"panel": SERVICE, "s4": {**shared, "neutral_legs": "same"}})

    assert (old.passage, old.outcome) == ("elec.multiwire.no_tie", "met_then_safer_now")
    assert recent.outcome == "defect_at_construction"
    assert (same.passage, same.outcome) == ("elec.multiwire.same_leg", "defect_now")


def test_a_shared_neutral_on_one_body_of_two_poles_is_right() -> None:
    body = {**SPACE, "poles": 2, "neutral_shared": True}

    assert offer({"panel": SERVICE, "s4": body}) == []


def test_an_untried_tie_is_asked_for() -> None:
    shared = {**SPACE, "neutral_shared": True}

    (asked,) = offer({"panel": SERVICE, "s4": shared})

    assert {need["field"] for need in asked.needs} <= {"handle_tie", "neutral_legs"}
    assert asked.needs


def test_terminals_of_aluminum_read_their_marks_and_their_heat() -> None:
    feeder = {"conductor_size": "1/0", "conductor_material": "aluminium",
              "conductor_how": "read", "antioxidant": "present"}  # fmt: skip
    hot = offer(fed(**feeder, terminal_heat="yes"))
    copper = offer(fed(**feeder, terminal_marking="cu_only"))
    right = offer(fed(**feeder, terminal_marking="al_cu", terminal_heat="looked_none"))

    assert of(hot, "elec.aluminium.terminal").passage == "elec.aluminium.heat"
    assert of(copper, "elec.aluminium.terminal").passage == (
        "elec.aluminium.terminal_wrong"
    )
    assert "elec.aluminium.terminal" not in rules(right)


def test_small_devices_on_solid_aluminum_want_their_own_mark() -> None:
    wiring = {
        "kind": "branch_wiring",
        "stop": "garage",
        "method": "nm_cable",
        "material": "aluminium",
        "stranding": "solid",
        "sizes": ["12"],
    }

    marked = offer({"w": {**wiring, "device_marking": "co_alr"}})
    other = offer({"w": {**wiring, "device_marking": "al_cu"}})

    assert "elec.aluminium.terminal" not in rules(marked)
    assert of(other, "elec.aluminium.terminal").passage == (
        "elec.aluminium.terminal_wrong"
    )


def test_missing_smoke_alarms_are_told_by_room_and_floor() -> None:
    upstairs = {**stops()["bed"], "name": "Back bedroom", "floor": "second"}
    alarm = {"kind": "alarm", "stop": "bed", "alarm_kind": "smoke", "power": "wired",
             "interconnected": "yes", "sounded": "yes", "made_year": 2022}  # fmt: skip

    found = of(offer({"up": upstairs, "a": alarm}), "elec.smoke.location")

    assert found.places == ["Back bedroom and the second floor"]
    assert found.blanks["place"] == "Back bedroom and the second floor"
    assert "alarms found: 1, now asked: 4" in found.why
