"""The panel map and the receptacle walk from the outside."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from inspections.models import Visit
from inspections.selectors.folded import folded
from tests.support.cast import Cast
from tests.support.field import fill, records, started, url
from tests.support.visits import make_visit

pytestmark = pytest.mark.django_db
PANEL = {
    "name": "Main panel",
    "role": "service_disconnect",
    "spaces": "12",
    "columns": "2",
    "main_amps": "100",
    "main_kind": "breaker",
    "cover": "in_place",
    "labels": "complete",
    "openings_unfilled": "0",
}


@pytest.fixture
def visit(cast: Cast) -> Visit:
    return make_visit(cast.ines)


def panel(cast: Cast, visit: Visit, client: Client, **more: str) -> str:
    """Draw a panel at the service stop; return its id."""
    stop = started(cast, visit, client)["Service equipment"]
    page = client.get(url("stop-read", visit, stop)).context["page"]
    response = fill(client, page.panels[-1].url, **(PANEL | more))
    assert response.status_code == 302, response.context["form"].errors
    (key,) = records(cast, visit, "enclosure")
    assert records(cast, visit, "enclosure")[key]["stop"] == stop
    return key


def drawn(client: Client, visit: Visit, key: str) -> dict[int, Any]:
    page = client.get(url("panel-map", visit, key)).context["page"]
    return {row.number: row for column in page.columns for row in column}


def test_a_panel_is_drawn_with_odd_numbers_left(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    left, right = client.get(url("panel-map", visit, key)).context["page"].columns

    assert [row.number for row in left] == [1, 3, 5, 7, 9, 11]
    assert [row.number for row in right] == [2, 4, 6, 8, 10, 12]
    assert not any(row.read for row in (*left, *right))


def test_painting_writes_every_space_that_was_swept(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    sent = {"brush": "20-12-copper", "how": "read", "space": ["1", "2", "3"]}
    assert fill(client, url("space-paint", visit, key), **sent).status_code == 302

    rows = drawn(client, visit, key)
    assert [rows[n].value for n in (1, 2, 3)] == ["20 A"] * 3
    assert rows[1].wire == "12 copper"
    assert not rows[4].read
    spaces = records(cast, visit, "space").values()
    assert {space["how"] for space in spaces} == {"read"}


def test_painting_again_goes_over_what_is_there(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    address = url("space-paint", visit, key)
    fill(client, address, brush="20-12-copper", how="read", space=["1"])
    fill(client, address, brush="other", amps="15", size="14", material="copper",
         how="read", space=["1"])  # fmt: skip

    assert len(records(cast, visit, "space")) == 1
    assert drawn(client, visit, key)[1].value == "15 A"
    assert folded(cast.ines.actor, visit)[1] == {}


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"brush": "20-12-copper", "space": ["99"]}, "space"),
        ({"brush": "20-12-copper", "space": []}, "space"),
        ({"brush": "gold", "space": ["1"]}, "brush"),
        ({"brush": "other", "amps": "900", "space": ["1"]}, "amps"),
        ({"brush": "other", "space": ["1"]}, "amps"),
    ],
)
def test_bad_paint_is_named(
    cast: Cast, visit: Visit, typed: dict[str, Any], field: str
) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    page = fill(client, url("space-paint", visit, key), **typed)

    assert page.status_code == 400
    assert field in page.context["form"].errors
    assert records(cast, visit, "space") == {}


def test_a_breaker_that_fits_says_so_quietly(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    address = url("space-write", visit, key, 1)
    told = {"space_kind": "breaker", "amps": "20", "size": "12", "material": "copper",
            "how": "read", "poles": "1"}  # fmt: skip
    assert fill(client, address, **told, then="next").status_code == 302

    page = client.get(address).context["page"]
    assert page.meaning == "12 copper, 20 A: fits"
    assert not page.weighs


def test_a_breaker_too_large_says_by_how_much(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    address = url("space-write", visit, key, 3)
    fill(client, address, space_kind="breaker", amps="20", size="14", poles="1",
         material="copper", how="read", load="general")  # fmt: skip

    page = client.get(address).context["page"]
    assert page.weighs
    assert page.meaning.endswith("5 A over")
    assert drawn(client, visit, key)[3].told


def test_a_plate_and_why_a_breaker_was_off_are_said_on_its_page(
    cast: Cast, visit: Visit
) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    address = url("space-write", visit, key, 7)
    typed = {"space_kind": "breaker", "amps": "30", "poles": "1", "state": "off",
             "state_reason": "spare", "plate_volts": "240"}  # fmt: skip

    assert "More about it" in client.get(address).content.decode()
    fill(client, address, **typed)

    (space,) = records(cast, visit, "space").values()
    assert (space["state_reason"], space["plate_volts"]) == ("spare", 240)
    assert "which of the two holds?" in drawn(client, visit, key)[7].more


@pytest.mark.parametrize("left_out", ["amps", "size", "material"])
def test_half_entered_and_estimated_are_silent(
    cast: Cast, visit: Visit, left_out: str
) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    told = {"amps": "20", "size": "14", "material": "copper", "how": "read"}
    told.pop(left_out)
    half = url("space-write", visit, key, 1)
    fill(client, half, space_kind="breaker", load="general", **told)
    guessed = url("space-write", visit, key, 2)
    fill(client, guessed, space_kind="breaker", amps="20", size="14", poles="1",
         material="copper", how="estimated", load="general")  # fmt: skip

    assert client.get(half).context["page"].meaning == ""
    assert client.get(guessed).context["page"].meaning == ""


def test_a_two_pole_breaker_takes_two_places(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    fill(client, url("space-write", visit, key, 5), space_kind="breaker", amps="30",
         poles="2", size="10", material="copper", how="read")  # fmt: skip

    rows = drawn(client, visit, key)
    assert rows[5].numbers == (5, 7)
    assert 7 not in rows
    space = client.get(url("space-write", visit, key, 5)).context["page"]
    assert space.numbers == "5 and 7"
    assert space.later_url == url("space-write", visit, key, 6)


def test_nine_hundred_amperes_are_refused_and_kept(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    page = fill(client, url("space-write", visit, key, 1), space_kind="breaker",
                amps="900", label="Range")  # fmt: skip

    assert page.status_code == 400
    assert b'value="900"' in page.content
    assert b'value="Range"' in page.content


def test_rules_look_once_the_map_is_done(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    fill(client, url("space-write", visit, key, 3), space_kind="breaker", amps="20",
         poles="1", size="14", material="copper", how="read",
         load="general")  # fmt: skip
    address = url("panel-map", visit, key)
    assert not client.get(address).context["page"].proposals

    client.post(url("panel-done", visit, key), {"map_done": "yes"})
    page = client.get(address).context["page"]
    titles = [row.title for row in page.proposals]
    assert "Breaker or fuse on a small wire" in titles
    first = page.proposals[0]
    answered = client.post(first.decide_url, {"key": first.key, "choice": "use"})
    assert answered["Location"] == f"{address}#means"
    left = client.get(address).context["page"]
    assert first.key not in [row.key for row in left.proposals]
    assert any(row.value == "used" for row in left.decided)


def test_the_enclosure_keeps_what_feeds_it(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    page = client.get(url("enclosure-write", visit, key))
    assert page.context["form"]["name"].value() == "Main panel"

    other = url("enclosure-write", visit, uuid4())
    stop = records(cast, visit, "enclosure")[key]["stop"]
    told = {"name": "Garage panel", "role": "fed_from_panel", "fed_from": key}
    made = fill(client, f"{other}?stop={stop}", **told)
    assert made.status_code == 302
    held = records(cast, visit, "enclosure")
    assert [one["fed_from"] for one in held.values() if "fed_from" in one] == [key]


def test_an_enclosure_needs_a_stop_of_this_visit(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    started(cast, visit, client)
    address = url("enclosure-write", visit, uuid4())
    for stop in ("", str(uuid4()), "not-an-id"):
        assert client.get(f"{address}?stop={stop}").status_code == 404


def test_counts_of_a_room_and_one_odd_receptacle(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]
    walk = url("receptacle-walk", visit, stop)
    counts = {"receptacles_seen": "5", "receptacles_tried": "5",
              "receptacles_correct": "4", "receptacles_not_reachable": "0"}  # fmt: skip
    assert fill(client, walk, **counts).status_code == 302
    page = client.get(walk).context["page"]
    assert page.meaning == "1 were not correct; one is not written down yet."

    odd = {"place": "left of the sink", "receptacle_kind": "counter",
           "lamps": ["hot_neutral"], "contacts": "three", "repeated": "on"}  # fmt: skip
    assert fill(client, page.odd_url, **odd).status_code == 302
    page = client.get(walk).context["page"]
    assert page.odd[0].words == "Lit: hot–neutral."
    assert page.odd[0].meaning == "Read as ground open or absent."


def test_what_protects_what_builds_itself(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]
    first, second = (url("receptacle-write", visit, stop, uuid4()) for _ in range(2))
    fill(client, first, place="right of the range")
    (died,) = records(cast, visit, "receptacle")
    told = {"place": "left of the sink", "gfci_kind": "device", "died_with": [died],
            "gfci_own_button_trips": "yes", "gfci_resets": "yes"}  # fmt: skip
    fill(client, second, **told)

    page = client.get(url("receptacle-walk", visit, stop)).context["page"]
    assert page.protection == (
        "The one at left of the sink protects 1 other: Kitchen, right of the range.",
    )
    fill(client, first, place="right of the range", gfci_kind="none")
    page = client.get(url("receptacle-walk", visit, stop)).context["page"]
    assert "Repeat the test" in page.ask_again[0].value


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"place": ""}, "place"),
        ({"place": "x", "lamps": ["green"]}, "lamps"),
        ({"place": "x", "lamps": ["hot_ground"], "lamps_none": "on"}, "lamps_none"),
        ({"place": "x", "died_with": [str(uuid4())]}, "died_with"),
        ({"place": "x", "sink_distance_in": "two feet"}, "sink_distance_in"),
    ],
)
def test_a_bad_receptacle_is_named(
    cast: Cast, visit: Visit, typed: dict[str, Any], field: str
) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]
    page = fill(client, url("receptacle-write", visit, stop, uuid4()), **typed)

    assert page.status_code == 400
    assert field in page.context["form"].errors
    assert records(cast, visit, "receptacle") == {}


def test_a_receptacle_is_only_found_at_its_own_stop(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stops = started(cast, visit, client)
    fill(client, url("receptacle-write", visit, stops["Kitchen"], uuid4()), place="x")
    (key,) = records(cast, visit, "receptacle")

    assert client.get(
        url("receptacle-write", visit, stops["Garage"], key)
    ).status_code == 404  # fmt: skip


def test_more_correct_than_tried_is_refused(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]
    page = fill(client, url("receptacle-walk", visit, stop), receptacles_seen="3",
                receptacles_tried="3", receptacles_correct="4")  # fmt: skip

    assert page.status_code == 400
    assert "receptacles_correct" in page.context["form"].errors


def test_the_map_asks_the_same_however_many_spaces(
    cast: Cast, visit: Visit, django_assert_num_queries: Any
) -> None:
    client = cast.ines.client()
    key = panel(cast, visit, client)
    counts = []
    for spaces in (["1"], ["2", "3", "4", "5", "6"]):
        fill(client, url("space-paint", visit, key), brush="20-12-copper", how="read",
             space=spaces)  # fmt: skip
        with django_assert_num_queries(30, exact=False) as caught:
            client.get(url("panel-map", visit, key))
        counts.append(len(caught))

    assert len(set(counts)) == 1
