"""The walk by stop from the outside: starting, recording, closing, handing in."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from inspections.models import LogRow, Visit
from inspections.selectors.folded import folded
from tests.support.cast import Cast
from tests.support.field import fill, hidden, records, started, url
from tests.support.visits import make_visit

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(cast: Cast) -> Visit:
    return make_visit(cast.ines)


def test_a_booked_visit_offers_its_route(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    page = client.get(url("visit-read", visit))
    assert b"I have arrived" in page.content

    stops = started(cast, visit, client)
    assert {"Arrival", "Kitchen", "Bedroom 1", "Bedroom 2", "Leaving"} <= set(stops)
    again = client.get(url("visit-read", visit))
    names = [row.name for row in again.context["page"].stops]
    assert names[0] == "Arrival"
    assert names[-1] == "Leaving"
    assert names.index("Kitchen") < names.index("Bedroom 1")
    visit.refresh_from_db()
    assert visit.status == Visit.Status.UNDER_WAY


def test_starting_twice_adds_nothing(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stops = started(cast, visit, client)
    entries = LogRow.objects.count()

    client.post(url("visit-start", visit), {"kitchen": 3})
    assert len(records(cast, visit, "stop")) == len(stops)
    assert LogRow.objects.count() == entries


@pytest.mark.parametrize("typed", ["many", "99", "-1"])
def test_an_impossible_number_of_rooms_is_named(
    cast: Cast, visit: Visit, typed: str
) -> None:
    page = cast.ines.client().post(
        url("visit-start", visit), {"kitchen": "1", "bedroom": typed}
    )

    assert page.status_code == 400
    assert "bedroom" in page.context["form"].errors
    assert f'value="{typed}"'.encode() in page.content
    assert records(cast, visit, "stop") == {}


def test_every_page_of_a_stop_opens(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stops = started(cast, visit, client)
    for key in stops.values():
        page = client.get(url("stop-read", visit, key))
        assert page.status_code == 200
        for item in (
            *page.context["page"].items,
            *page.context["page"].measured,
        ):
            assert client.get(item.url).status_code == 200, item.key
        for line in page.context["page"].open_lines:
            assert client.get(line.url).status_code == 200, line.text
        for name in ("stop-leave", "hazard-write", "limit-write", "stop-note"):
            assert client.get(url(name, visit, key)).status_code == 200
    for name in ("visit-read", "visit-leave"):
        assert client.get(url(name, visit)).status_code == 200


def test_an_observation_and_a_measure_keep_how_they_are_known(
    cast: Cast, visit: Visit
) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Outside, front"]
    drop = url("item-write", visit, stop, "service_drop")
    told = {"what": "drip_loop", "answer": "yes", "how_known": "seen"}
    assert fill(client, drop, **told).status_code == 302
    clear = url("item-write", visit, stop, "drop_clearance")
    asked = {"what": "drop_above_walk_ft", "value": "10.50", "how_known": "measured"}
    assert fill(client, clear, **asked).status_code == 302

    (seen,) = records(cast, visit, "observation").values()
    (measured,) = records(cast, visit, "measure").values()
    assert seen["item"] == "service_drop"
    assert (measured["value"], measured["unit"]) == ("10.5", "ft")
    page = client.get(url("stop-read", visit, stop))
    assert "above a walk: 10.5 ft" in page.content.decode()


def test_a_form_sent_twice_is_one_entry(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]
    address = url("stop-note", visit, stop)
    sent = hidden(client.get(address)) | {"text": "A drip under the sink"}
    for _ in range(2):
        assert client.post(address, sent).status_code == 302

    assert len(records(cast, visit, "note")) == 1


def test_what_another_device_said_meanwhile_is_not_covered(
    cast: Cast, visit: Visit
) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Roof"]
    address = url("item-write", visit, stop, "method")
    first, second = hidden(client.get(address)), hidden(client.get(address))

    client.post(address, first | {"method": "walked"})
    client.post(address, second | {"method": "drone"})
    _, conflicts = folded(cast.ines.actor, visit)
    assert conflicts[stop, "method"] == ["walked", "drone"]
    page = client.get(address).content.decode()
    assert "walked or drone" in page

    fill(client, address, method="drone")
    assert folded(cast.ines.actor, visit)[1] == {}


def test_a_field_that_was_not_touched_stays_as_another_device_left_it(
    cast: Cast, visit: Visit
) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Roof"]
    address = url("item-write", visit, stop, "method")
    old = hidden(client.get(address))
    fill(client, address, method="walked")

    client.post(address, old | {"method": "", "method_reason": "it was dry"})
    held, conflicts = folded(cast.ines.actor, visit)
    assert conflicts == {}
    assert held[stop]["method"] == "walked"
    assert held[stop]["method_reason"] == "it was dry"


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"what": "drop_above_walk_ft", "value": "ten"}, "value"),
        ({"what": "drop_above_walk_ft", "value": "1e9"}, "value"),
        ({"what": "height_of_joy", "value": "10"}, "what"),
        (
            {"what": "drop_above_walk_ft", "value": "10", "how_known": "felt"},
            "how_known",
        ),
    ],
)
def test_bad_values_are_named_and_kept(
    cast: Cast, visit: Visit, typed: dict[str, str], field: str
) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Outside, front"]
    page = fill(client, url("item-write", visit, stop, "drop_clearance"), **typed)

    assert page.status_code == 400
    assert list(page.context["form"].errors) == [field]
    assert page.context["form"]["value"].value() == typed["value"]
    assert records(cast, visit, "measure") == {}


def test_markup_in_words_is_only_words(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]
    fill(client, url("stop-note", visit, stop), text="<script>alert(1)</script>")

    page = client.get(url("stop-read", visit, stop)).content.decode()
    assert "&lt;script&gt;alert(1)" in page
    assert "<script>alert" not in page


def test_a_duty_is_answered_on_its_own_page(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Attic"]
    page = client.get(url("stop-read", visit, stop))
    line = next(
        o for o in page.context["page"].open_lines if "insulation" in o.text.lower()
    )
    answer = "described" if "describe" in line.text.lower() else "not_inspected"
    assert fill(client, line.url, answer=answer, text="Loose fill").status_code == 302

    texts = [
        o.url
        for o in client.get(url("stop-read", visit, stop)).context["page"].open_lines
    ]
    assert line.url not in texts


def test_closing_keeps_what_was_struck_out(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Outside, front"]
    page = client.get(url("stop-leave", visit, stop))
    rows = page.context["page"].closes
    assert rows
    sent = {"struck": [rows[0].duty], "shown": page.context["page"].shown}

    hasty = client.post(url("stop-close", visit, stop), sent)
    assert hasty.status_code == 400
    assert b"Say why so short a look is enough" in hasty.content
    assert f'value="{rows[0].duty}" id="strike-{rows[0].duty}" checked' in (
        hasty.content.decode()
    )

    done = client.post(url("stop-close", visit, stop), sent | {"reason": "only a test"})
    assert done.status_code == 302
    held = records(cast, visit, "stop")[stop]
    assert held["closed_struck"] == [rows[0].duty]
    assert held["closed_at"].endswith("Z")
    assert b"Closed at" in client.get(url("stop-read", visit, stop)).content


def test_a_roof_is_not_closed_before_it_says_how_it_was_looked_at(
    cast: Cast, visit: Visit
) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Roof"]
    client.get(url("stop-leave", visit, stop))
    address = url("stop-close", visit, stop)
    page = client.post(address, {"reason": "it is flat and low"})
    assert page.status_code == 400
    assert b"how this was looked at" in page.content

    fill(client, url("item-write", visit, stop, "method"), method="ladder_at_edge")
    assert client.post(address, {"reason": "it is flat and low"}).status_code == 302


def test_one_reason_reaches_many_duties(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Attic"]
    before = len(client.get(url("stop-read", visit, stop)).context["page"].open_lines)
    sent = {"reason": "locked", "reach": [stop], "told": "the agent"}
    assert fill(client, url("limit-write", visit, stop), **sent).status_code == 302

    after = client.get(url("stop-read", visit, stop)).context["page"].open_lines
    assert before
    assert len(after) < before


def test_a_hazard_says_who_was_told_and_when(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]
    address = url("hazard-write", visit, stop)
    untold = fill(client, address, what="Gas smell at the range")
    assert untold.status_code == 400
    assert b"Gas smell at the range" in untold.content

    fill(client, address, what="Gas smell at the range", told="the seller")
    page = client.get(url("visit-read", visit)).content.decode()
    assert "Gas smell at the range. Told: the seller, " in page


def test_a_visit_is_not_handed_in_before_it_is_under_way(
    cast: Cast, visit: Visit
) -> None:
    response = cast.ines.client().post(url("visit-hand-in", visit))

    assert response.status_code == 409


def test_handing_in_passes_it_to_the_reviewer(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    started(cast, visit, client)
    response = client.post(url("visit-hand-in", visit))

    assert response.status_code == 302
    visit.refresh_from_db()
    assert visit.status == Visit.Status.HANDED_IN


def test_strangers_and_other_roles_stay_out(cast: Cast, visit: Visit) -> None:
    stop = started(cast, visit, cast.ines.client())["Kitchen"]
    pages = [
        url("visit-read", visit),
        url("visit-leave", visit),
        url("stop-read", visit, stop),
        url("stop-leave", visit, stop),
        url("item-write", visit, stop, "window"),
        url("receptacle-walk", visit, stop),
    ]
    for page in pages:
        assert cast.stranger.client().get(page).status_code == 404
        assert cast.omar.client().get(page).status_code == 404
        assert cast.scheduler.client().get(page).status_code == 403
        assert Client().get(page).status_code == 302


def test_a_reviewer_reads_and_does_not_write(cast: Cast, visit: Visit) -> None:
    stop = started(cast, visit, cast.ines.client())["Kitchen"]
    client = cast.reviewer.client()
    page = client.get(url("stop-read", visit, stop))

    assert page.status_code == 200
    assert b"photo-add" not in page.content
    assert client.post(url("stop-note", visit, stop), {"text": "x"}).status_code == 403
    assert client.post(url("visit-start", visit), {"kitchen": 1}).status_code == 403


def test_unknown_ids_are_unknown(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]
    for page in (
        url("stop-read", visit, uuid4()),
        url("entry-write", visit, uuid4()),
        url("item-write", visit, stop, "flying_saucer"),
        url("item-write", visit, stop, "duty:XX-000"),
        url("panel-map", visit, uuid4()),
        reverse("visit-read", args=["northside", uuid4()]),
        reverse("photo-read", args=["northside", uuid4(), "thumb"]),
    ):
        assert client.get(page).status_code == 404, page


def test_the_pages_ask_the_same_however_much_was_recorded(
    cast: Cast, visit: Visit, django_assert_num_queries: Any
) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client, bedroom=0)["Kitchen"]
    pages = [url("visit-read", visit), url("stop-read", visit, stop),
             url("stop-leave", visit, stop), url("visit-leave", visit)]  # fmt: skip
    counts = []
    for _ in range(2):
        for page in pages:
            with django_assert_num_queries(30, exact=False) as caught:
                client.get(page)
            counts.append(len(caught))
        for text in "abc":
            fill(client, url("stop-note", visit, stop), text=text)

    assert counts[:4] == counts[4:]
