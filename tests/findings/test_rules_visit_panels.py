"""From a panel's facts to proposals: what speaks and what stays silent."""

import json
from typing import Any

import pytest

from findings.rules import merging, visit
from tests.findings.rule_visits import (
    RULES,
    SERVICE,
    SPACE,
    fed,
    of,
    offer,
    rules,
    stops,
)


def test_a_sound_panel_proposes_nothing() -> None:
    assert offer({"panel": SERVICE, "s4": SPACE}) == []


def test_a_visit_without_facts_proposes_nothing() -> None:
    assert visit.proposals({}, {}, {}, RULES, None, ()) == []


@pytest.mark.parametrize(
    ("field", "value", "rule", "passage"),
    [
        ("conductor_size", "2/0", "elec.service.rating", "elec.service.part_small"),
        ("meter_base_amps", 125, "elec.service.rating", "elec.service.part_small"),
        ("bus_amps", 125, "elec.service.rating", "elec.service.part_small"),
        ("neutral_and_ground", "apart", "elec.bond.main_vs_sub", "elec.bond.missing"),
        ("openings_unfilled", 2, "elec.panel.openings", "elec.panel.opening"),
        ("cover", "missing", "elec.panel.openings", "elec.panel.cover_missing"),
        ("cover", "screws_wrong", "elec.panel.openings", "elec.panel.cover_screws"),
        ("antioxidant", "looked_none", "elec.aluminium.paste", "elec.aluminium.paste"),
        ("labels", "wrong", "elec.panel.directory", "elec.panel.labels"),
        ("neutral_bar_doubled", 3, "elec.terminal.neutral_bar",
         "elec.terminal.neutrals_doubled"),
        ("electrode_bond", "looked_none", "elec.electrode.system",
         "elec.electrode.none"),
        ("working_depth_in", "30", "elec.panel.working_space",
         "elec.panel.space_short"),
        ("top_device_height_in", "84", "elec.panel.height", "elec.panel.high"),
    ],
)  # fmt: skip
def test_one_fact_of_a_panel_makes_one_proposal(
    field: str, value: Any, rule: str, passage: str
) -> None:
    found = offer({"panel": {**SERVICE, field: value}})

    assert rules(found) == [rule]
    assert found[0].passage == passage
    assert field in {fact["field"] for fact in found[0].facts}


def test_a_panel_is_silent_until_its_map_is_done() -> None:
    bad = {**SERVICE, "openings_unfilled": 2, "map_done": False}

    assert offer({"panel": bad, "s4": {**SPACE, "amps": 30}}) == []


def test_a_receptacle_and_a_wall_are_silent_until_the_stop_was_left() -> None:
    records = {
        "kitchen": {**stops()["kitchen"], "closed_at": None},
        "r": {"kind": "receptacle", "stop": "kitchen", "lamps": ["hot_neutral"]},
        "w": {"kind": "wall", "stop": "kitchen", "wall_kind": "wall", "length_ft": "30",
              "receptacles_at_ft": [], "how_known": "measured"},
    }  # fmt: skip

    assert offer(records) == []


def test_copper_is_never_asked_for_paste() -> None:
    copper = {**SERVICE, "conductor_material": "copper", "antioxidant": "looked_none"}

    assert "elec.aluminium.paste" not in rules(offer({"panel": copper}))


def test_what_was_not_answered_stays_silent_and_looked_none_speaks() -> None:
    asked = {"bonds": None, "antioxidant": None, "electrode_bond": None}

    assert offer({"panel": {**SERVICE, **asked}}) == []
    look = {"kind": "alarm_look", "stop": "bed", "alarm_kind": "both",
            "answer": "looked_none"}  # fmt: skip
    assert rules(offer({"look": look})) == ["elec.smoke.location"]


def test_a_breaker_too_large_names_the_space_the_wire_and_the_margin() -> None:
    found = offer({"panel": SERVICE, "s4": {**SPACE, "amps": 30, "label": "hall"}})[0]

    assert found.rule == "elec.ocpd.small_conductor"
    assert found.places == ["Garage, Main panel, space 4"]
    assert found.margin == "10 A over"
    assert found.blanks["material"] == "copper"
    assert found.blanks["limit_A"] == "20"
    assert found.hazard
    assert not found.firm_only
    assert {f["field"] for f in found.facts} == {"amps", "size", "material", "load"}
    assert json.loads(json.dumps(found.as_dict()))["key"] == found.key


def test_an_estimated_size_asks_for_a_reading_and_makes_no_deficiency() -> None:
    guess = {**SPACE, "amps": 30, "how": "estimated"}
    found = offer({"panel": SERVICE, "s4": guess})

    assert [one.outcome for one in found] == ["undetermined"]
    assert {"record": "s4", "field": "size", "label": "size"} in found[0].needs


def test_a_size_not_seen_says_nothing() -> None:
    hidden = {**SPACE, "amps": 30, "how": "not_seen"}

    assert offer({"panel": SERVICE, "s4": hidden}) == []


def test_a_compared_size_speaks_and_says_so() -> None:
    compared = {**SPACE, "amps": 30, "how": "compared"}
    found = offer({"panel": SERVICE, "s4": compared})[0]

    assert found.outcome == "defect_now"
    assert found.certainty.endswith("size by comparison, not read")


def test_an_unknown_load_is_asked_before_a_breaker_is_called_too_large() -> None:
    found = offer({"panel": SERVICE, "s4": {**SPACE, "amps": 30, "load": None}})

    assert [one.outcome for one in found] == ["undetermined"]
    assert [need["field"] for need in found[0].needs] == ["load"]


def test_a_cooling_circuit_follows_its_plate() -> None:
    cooling = {**SPACE, "amps": 30, "poles": 2, "load": "cooling", "plate_mca": "18",
               "plate_mocp": 30}  # fmt: skip

    assert offer({"panel": SERVICE, "s4": cooling}) == []
    over = {**cooling, "amps": 40}
    assert offer({"panel": SERVICE, "s4": over})[0].passage == "elec.hvac.over_plate"


@pytest.mark.parametrize(
    ("allows", "outcome"), [(2, None), (1, "defect_now"), (None, "undetermined")]
)
def test_two_wires_under_a_screw_turn_on_its_marking(
    allows: int | None, outcome: str | None
) -> None:
    space = {**SPACE, "under_screw": 2, "screw_allows": allows}
    found = offer({"panel": SERVICE, "s4": space})

    assert [one.outcome for one in found] == ([outcome] if outcome else [])


def test_proposals_of_one_topic_and_trade_become_one_with_places() -> None:
    spaces = {f"s{n}": {**SPACE, "number": n, "amps": 30} for n in (1, 2, 3)}
    found = offer({"panel": SERVICE, **spaces})

    assert len(found) == 1
    assert found[0].subjects == ["s1", "s2", "s3"]
    assert len(found[0].places) == 3
    assert found[0].blanks["place"].endswith("Main panel, space 1, space 2 and space 3")


def test_two_open_values_are_unknown_and_asked_for() -> None:
    found = offer(
        {"panel": SERVICE, "s4": {**SPACE, "amps": 30}}, {("s4", "size"): ["12", "10"]}
    )

    assert "defect_now" not in {one.outcome for one in found}
    two = of(found, "facts.two_values")
    assert [fact["value"] for fact in two.facts] == ["12", "10"]
    assert two.needs == [{"record": "s4", "field": "size", "label": "size"}]


def test_joined_is_right_at_the_service_and_wrong_in_a_fed_panel() -> None:
    assert offer(fed()) == []
    found = offer(fed(neutral_and_ground="joined"))

    assert found[0].passage == "elec.bond.extra"
    assert found[0].subject == "sub"


def test_a_fed_panel_is_held_to_the_breaker_that_feeds_it() -> None:
    assert of(offer(fed(bus_amps=60)), "elec.panel.bus_vs_main").margin == "40 A over"


def test_a_feeder_that_carries_part_of_the_house_has_no_reduction() -> None:
    part = fed(conductor_size="4", conductor_material="aluminium",
               conductor_how="read", antioxidant="present")  # fmt: skip
    found = offer({**part, "s9": {**SPACE, "number": 9}})

    assert of(found, "elec.ocpd.standard_sizes").subject == "sub"


def test_a_feeder_from_an_outdoor_main_that_feeds_nothing_else_may_be_reduced() -> None:
    meter = {**SERVICE, "name": "Meter main", "enclosure_kind": "meter_main",
             "main_amps": 100, "bus_amps": 100, "conductor_size": "2"}  # fmt: skip
    records = fed(conductor_size="2", conductor_material="aluminium",
                  conductor_how="read", antioxidant="present")  # fmt: skip

    assert offer({**records, "panel": meter}) == []


def test_two_main_shut_offs_in_a_row_ask_which_is_first() -> None:
    found = offer(fed(role="service_disconnect", main_kind="breaker", main_amps=100))

    asked = of(found, "facts.first_shut_off")
    assert set(asked.subjects) == {"panel", "sub"}
    assert "elec.bond.main_vs_sub" not in rules(found)


def test_panels_that_feed_each_other_are_a_contradiction_not_a_loop() -> None:
    ring = fed()
    ring["panel"] = {**SERVICE, "fed_from": "sub"}

    assert "facts.first_shut_off" in rules(offer(ring))


def test_three_wires_to_a_barn_wait_until_the_way_back_is_known() -> None:
    barn = {"name": "Barn panel", "feeder_wires": 3, "neutral_and_ground": "apart"}

    assert offer(fed(**barn)) == []
    assert offer(fed(**barn, feeder_ground="metal_raceway")) == []
    found = offer(fed(**barn, feeder_ground="none"))
    assert {one.passage for one in found} == {
        "elec.bond.detached",
        "elec.feeder.three_wire",
    }


def test_places_with_commas_of_their_own_are_kept_apart() -> None:
    joined = merging.together(["Deck, by the door", "Garage, rear wall"])
    assert joined == "Deck, by the door; and Garage, rear wall"
    assert merging.together(["Attic, hatch", "Attic, fan"]) == "Attic, hatch and fan"
    assert merging.together(["Hall"]) == "Hall"
