"""Panels, receptacles, alarms and figures as the snapshot tells them."""

from __future__ import annotations

from typing import Any

import pytest

from firm.models import Instrument
from tests.support import nc_visit
from tests.support.cast import Cast
from tests.support.walked import Walk, space, walk

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(cast: Cast) -> Walk:
    walked = walk(cast)
    walked.clients("Dana Whitlow")
    return walked


def panel(made: Walk, name: str = "Main panel") -> dict[str, Any]:
    held: list[dict[str, Any]] = made.told()["panels"]
    return next(one for one in held if one["name"] == name)


def by_number(made: Walk) -> dict[int, dict[str, Any]]:
    return {one["number"]: one for one in panel(made)["spaces"]}


def odd(made: Walk, where: str) -> dict[str, Any]:
    rows = made.told()["receptacles"]["rows"]
    return next(o for row in rows for o in row["odd"] if o["where"] == where)


def test_a_panel_says_what_it_is_and_what_feeds_it(made: Walk) -> None:
    made.record(
        **{
            "e-sub": nc_visit.subpanel(stop="s-bed", fed_from="e-main", spaces=8),
            "e-main": {"spaces": 42, "bus_amps": 200, "conductor_size": "4/0"},
        }
    )
    made.record(**{"sp-5": space(5, amps=60, poles=2, size="6", label="Hall panel")})
    made.record(**{"e-sub": {"fed_by_space": "sp-5"}})

    told = made.told()["panels"]

    assert [one["name"] for one in told] == ["Main panel", "Subpanel"]
    assert told[0]["main"] == "200 A breaker"
    assert told[0]["bus"] == "200 A"
    assert told[0]["volts"] == "120/240 V"
    assert told[0]["conductor"] == "4/0 aluminum, read"
    assert told[0]["role_words"] == "service disconnect"
    assert told[1]["role_words"] == "fed from another panel (subpanel)"
    assert told[1]["fed_from"] == "Main panel, space 5"
    assert told[0]["size"] == 42
    assert "Neutral and ground are joined here." in told[0]["notes"]
    assert "Neutral and ground are kept apart here." in told[1]["notes"]


def test_a_double_pole_device_takes_up_the_space_below_it(made: Walk) -> None:
    made.record(
        **{
            "sp-2": space(2, poles=2, amps=30, size="10", label="Dryer"),
            "sp-4": space(4, label="under the dryer's second pole"),
            "sp-6": space(6, label="Hall"),
        }
    )

    spaces = by_number(made)

    assert spaces[2]["poles"] == 2
    assert 4 not in spaces
    assert spaces[6]["label"] == "Hall"


def test_two_breakers_in_one_space_are_told_together(made: Walk) -> None:
    made.record(
        **{
            "sp-8a": space(8, tandem=True, amps=15, label="Hall"),
            "sp-8b": space(8, tandem=True, amps=20, label="Bath"),
            "sp-10": space(10, tandem=True, label="Porch"),
        }
    )

    spaces = by_number(made)

    assert "two in one space" in spaces[8]["label"]
    assert {"15 A Hall", "20 A Bath"} <= set(
        spaces[8]["label"].removeprefix("two in one space: ").split("; ")
    )
    assert spaces[10]["label"] == "Porch (two breakers in one space)"


def test_spaces_not_read_and_estimates_are_said(made: Walk) -> None:
    made.record(
        **{
            "sp-20": {**space(20), "space_kind": "not_read"},
            "sp-22": space(22, how="estimated"),
            "sp-24": {**space(24), "space_kind": "open"},
        }
    )

    told = panel(made)
    spaces = by_number(made)

    assert "Not read: 1 of the spaces." in told["notes"]
    assert "Conductor sizes: read at 1 and estimated at 1." in told["notes"]
    assert spaces[24]["amps"] is None
    assert spaces[24]["kind"] == "open"


def test_a_cover_left_on_is_a_note_and_a_limit(made: Walk) -> None:
    made.record(
        **{
            "e-main": {
                "cover_removed": "left_on",
                "cover_reason": "the screws were painted over",
            }
        }
    )

    told = made.told()

    note = "The cover was left on, because the screws were painted over."
    assert note in told["panels"][0]["notes"]
    limits = [one for place in told["places"] for one in place["limits"]]
    limit = next(
        one for one in [*told["limits"], *limits] if "painted" in one["reason"]
    )
    assert "An electrician can take the cover off" in limit["what_you_can_do"]


@pytest.mark.parametrize(
    ("lamps", "says"),
    [
        (["hot_neutral", "neutral_ground"], "hot and neutral read reversed"),
        (["hot_ground", "neutral_ground"], "hot and ground read reversed"),
        (["hot_neutral"], "no connection to ground read"),
        (["hot_ground"], "no connection to neutral read"),
    ],
)
def test_lamps_say_what_they_show_and_what_they_cannot(
    made: Walk, lamps: list[str], says: str
) -> None:
    """Between which slots a lamp lights follows from which slot is live.

    Two slots differ by the full voltage only when one of them is hot: so reversed hot
    and neutral light hot-neutral and neutral-ground and leave hot-ground dark.
    """
    made.record(
        **{
            "r-odd": {
                "kind": "receptacle",
                "stop": "s-bed",
                "place": "left of the window",
                "lamps": lamps,
            }
        }
    )

    words = odd(made, "left of the window")["lamps_words"]

    assert words.startswith(says)
    assert "three-lamp tester" in words
    assert "cannot" in words


def test_no_lamp_is_told_apart_from_not_tried(made: Walk) -> None:
    base = {"kind": "receptacle", "stop": "s-bed"}
    made.record(
        **{
            "r-dead": {**base, "place": "dead one", "lamps": [], "lamps_none": True},
            "r-two": {**base, "place": "old one", "contacts": "two"},
        }
    )

    assert odd(made, "dead one")["lamps_words"].startswith("no lamp lit")
    assert odd(made, "old one")["lamps_words"] == ""
    assert odd(made, "old one")["protection_words"] == (
        "two slots without a ground contact"
    )


def test_a_device_that_does_not_trip_is_odd_and_one_that_does_is_not(
    made: Walk,
) -> None:
    made.record(
        **{
            "r-1": {"gfci_tester_trips": "yes", "gfci_resets": "yes"},
            "r-bad": {
                "kind": "receptacle",
                "stop": "s-kit",
                "place": "right of the sink",
                "lamps": ["hot_neutral", "hot_ground"],
                "gfci_kind": "device",
                "gfci_own_button_trips": "no",
                "gfci_tester_trips": "no",
            },
        }
    )

    told = made.told()["receptacles"]
    kitchen = next(row for row in told["rows"] if row["place"] == "Kitchen")

    assert [one["where"] for one in kitchen["odd"]] == ["right of the sink"]
    assert kitchen["odd"][0]["protection_words"] == (
        "has a ground-fault device of its own; did not trip by its own button; "
        "did not trip by the tester"
    )
    assert kitchen["odd"][0]["lamps_words"].startswith("wired as it should be")
    assert told["note"] == "Ground-fault devices tried by their own button: 2."


def test_receptacles_are_counted_place_by_place(made: Walk) -> None:
    made.record(
        **{
            "s-bed": {
                "receptacles_seen": 6,
                "receptacles_tried": 4,
                "receptacles_correct": 3,
                "receptacles_not_reachable": 2,
            }
        }
    )

    told = made.told()
    bedroom = next(r for r in told["receptacles"]["rows"] if r["place"] == "Bedroom")

    counted = ("seen", "tried", "correct", "not_reachable")
    assert [bedroom[name] for name in counted] == [6, 4, 3, 2]
    # 2 outside, 3 in the garage, 5 in the kitchen, and these.
    assert told["receptacles"]["totals"] == {
        "seen": 16,
        "tried": 14,
        "correct": 13,
        "not_reachable": 2,
    }
    electrical = next(one for one in told["systems"] if one["key"] == "electrical")
    assert "Receptacles: tried 14 of 16." in electrical["counts"]
    # Where a line asks for some places only, it says so beside its own number.
    assert (
        "Receptacle polarity: tried 10 of 10, in the 3 places where every one is"
        " asked for." in electrical["counts"]
    )


def test_one_that_was_written_down_counts_where_nobody_counted(made: Walk) -> None:
    before = made.told()["receptacles"]["totals"]["tried"]
    made.record(
        **{
            "s-shed": {"kind": "stop", "name": "Shed", "stop_kind": "attic",
                       "pos": "zz"},
            "r-shed": {"kind": "receptacle", "stop": "s-shed", "place": "by the door",
                       "lamps": ["hot_neutral"]},
        }
    )  # fmt: skip

    told = made.told()
    assert told["receptacles"]["totals"]["tried"] == before + 1
    electrical = next(one for one in told["systems"] if one["key"] == "electrical")
    (line,) = [one for one in electrical["counts"] if one.startswith("Receptacles:")]
    # The attic is none of the line's places: it names how many it speaks of.
    assert line.startswith(f"Receptacles: tried {before} of {before}, in the ")


def test_the_service_is_described_by_what_was_read(made: Walk) -> None:
    told = next(s for s in made.told()["systems"] if s["key"] == "electrical")
    described = {pair["label"]: pair["text"] for pair in told["described"]}

    assert described["Service amperage and voltage"] == "200 amperes, 120/240 volts."
    assert described["Service conductor material"] == "Service conductors: aluminum."
    assert described["Service overhead or underground"] == (
        "The service comes in overhead."
    )
    assert described["Main panel location"] == "Main panel: rear wall of the garage."
    assert described["Branch wiring"] == "Solid copper."


def test_what_is_said_of_a_panel_stands_where_the_panel_is(made: Walk) -> None:
    told = {place["name"]: place for place in made.told()["places"]}

    at_panel = " ".join(told["Service equipment"]["looked"])
    elsewhere = " ".join(told["Garage"]["looked"] + told["Outside loop"]["looked"])
    assert "main panel interior" in at_panel
    assert "main panel interior" not in elsewhere
    assert "service drop or lateral" in " ".join(told["Outside loop"]["looked"])


def test_alarms_say_whether_they_sounded_and_where_none_was_seen(made: Walk) -> None:
    made.record(
        **{
            "a-2": {
                "kind": "alarm",
                "stop": "s-kit",
                "alarm_kind": "smoke",
                "power": "battery",
                "made_year": 2009,
                "sounded": "no",
            },
            "a-none": {
                "kind": "alarm_look",
                "stop": "s-gar",
                "alarm_kind": "carbon_monoxide",
                "answer": "looked_none",
            },
        }
    )

    told = made.told()

    kitchen = told["alarms"][0]
    assert (kitchen["kind"], kitchen["made"], kitchen["tried"]) == (
        "Smoke",
        "2009",
        "did not sound when tried",
    )
    garage = next(one for one in told["places"] if one["name"] == "Garage")
    assert "Looked for a carbon monoxide alarm; none seen." in garage["looked"]


def test_a_figure_names_its_instrument_and_says_when_it_is_indicative(
    made: Walk,
) -> None:
    firm = made.cast.northside
    for key, until in (("tape", "2027-03-01"), ("gauge", "2026-01-15")):
        Instrument.objects.create(
            firm=firm, key=key, kind=key, name=f"The {key}", calibrated_until=until
        )
    measure = {"kind": "measure", "stop": "s-gar", "unit": "in", "value": "36.5"}
    made.record(
        m1=measure | {"what": "one_in", "how_known": "measured", "instrument": "tape"},
        m2=measure | {"what": "two_in", "how_known": "measured", "instrument": "gauge"},
        m3=measure | {"what": "three_in", "how_known": "measured"},
        m4=measure | {"what": "four_in", "how_known": "estimated"},
    )

    told = made.told()
    rows = {one["what"]: one for one in told["measurements"]}

    assert rows["One"]["value_text"] == "36.5 in"
    assert (rows["One"]["instrument"], rows["One"]["indicative"]) == ("The tape", False)
    assert rows["Two"]["indicative"]
    assert rows["Three"]["indicative"]
    assert (rows["Four"]["how_known"], rows["Four"]["indicative"]) == (
        "estimated",
        False,
    )
    notes = {one["name"]: one["note"] for one in told["visit"]["instruments"]}
    assert notes["The tape"] == ""
    assert "out of date" in notes["The gauge"]


def test_a_ring_of_feeders_is_printed_all_the_same(made: Walk) -> None:
    made.record(**{"e-sub": nc_visit.subpanel(stop="s-bed", fed_from="e-main")})
    made.record(**{"e-main": {"fed_from": "e-sub"}})

    assert {one["name"] for one in made.told()["panels"]} == {"Main panel", "Subpanel"}


def test_none_found_is_said_only_where_protection_is_looked_for(made: Walk) -> None:
    base = {
        "kind": "receptacle",
        "stop": "s-bed",
        "gfci_kind": "none",
        "gfci_own_button_trips": "not_tried",
        "cover": "broken",
    }
    made.record(
        **{
            "r-wall": {**base, "place": "wall", "receptacle_kind": "general"},
            "r-sink": {**base, "place": "sink", "receptacle_kind": "sink"},
        }
    )

    assert odd(made, "wall")["protection_words"] == "its cover plate is broken"
    assert odd(made, "sink")["protection_words"] == (
        "no ground-fault protection found; its cover plate is broken"
    )


def test_an_odd_receptacle_points_at_the_finding_that_is_most_about_it(
    made: Walk,
) -> None:
    made.record(
        **{
            "r-a": {"kind": "receptacle", "stop": "s-bed", "place": "here"},
            "r-b": {"kind": "receptacle", "stop": "s-kit", "place": "there"},
        }
    )
    here, there = made.id("r-a"), made.id("r-b")
    both = {"subject": there, "subjects": [there, here], "facts": []}
    made.finding("a", proposal=both, stop=made.id("s-kit"), places=["Kitchen"])
    one = {"subject": here, "subjects": [here], "facts": []}
    own = made.finding("b", proposal=one, stop=made.id("s-bed"), places=["Bedroom"])

    assert odd(made, "here")["finding"] == str(own.pk)


def test_a_place_is_not_said_twice(made: Walk) -> None:
    made.record(**{"e-main": {"location": "service equipment, left of the door"}})
    made.finding("a", stop=made.id("s-gar"), places=["Garage, garage, rear wall"])

    assert panel(made)["place"] == "Service equipment, left of the door"
    assert made.told()["findings"][0]["place"] == "Garage, rear wall"
