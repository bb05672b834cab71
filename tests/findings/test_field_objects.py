"""Objects of the house from the outside: a form, and what the rules make of it."""

from __future__ import annotations

from typing import Any

import pytest

from findings.models import Finding
from findings.selectors.evaluation import evaluate
from findings.services.adoption import adopt
from inspections.models import Visit
from tests.support.cast import Cast
from tests.support.field import fill, records, started, url
from tests.support.visits import make_visit

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(cast: Cast) -> Visit:
    return make_visit(cast.ines)


def stop_page(cast: Cast, visit: Visit, stop: str) -> str:
    page = cast.ines.client().get(url("stop-read", visit, stop))
    return str(page.content.decode())


def test_a_stair_typed_in_becomes_a_proposal_in_plain_words(
    cast: Cast, visit: Visit
) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]
    typed: dict[str, Any] = {
        "place": "to the basement",
        "risers_in": "7.5, 8.25, 7.5",
        "treads_in": "10, 10",
        "how_known": "measured",
    }

    answer = fill(client, url("item-write", visit, stop, "stair"), **typed)

    assert answer.status_code == 302
    (stair,) = records(cast, visit, "stair").values()
    assert stair["risers_in"] == ["7.5", "8.25", "7.5"]
    page = stop_page(cast, visit, stop)
    assert "Steps of a stair: height, depth, headroom" in page
    assert "0.75 in between the highest and the lowest" in page


def test_what_cannot_be_read_is_named_and_nothing_is_lost(
    cast: Cast, visit: Visit
) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]

    answer = fill(
        client,
        url("item-write", visit, stop, "stair"),
        place="to the attic",
        risers_in="seven and a half",
    )

    assert answer.status_code == 400
    assert "Write numbers with commas" in answer.content.decode()
    assert "seven and a half" in answer.content.decode()
    assert records(cast, visit, "stair") == {}


def test_an_estimate_asks_to_be_measured_instead(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]

    fill(
        client,
        url("item-write", visit, stop, "hot_tap"),
        tap="bath",
        temp_f="150",
        how_known="estimated",
    )

    page = client.get(url("stop-read", visit, stop)).context["page"]
    assert [one.asks for one in page.proposals] == [True]
    assert "Only estimated; measure or read it." in stop_page(cast, visit, stop)


def test_a_smell_of_gas_and_a_pipe_outdoors_speak_plainly(
    cast: Cast, visit: Visit
) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Garage"]

    fill(client, url("item-write", visit, stop, "gas_line"), gas_smell="yes",
         appliance="water_heater", how_known="seen")  # fmt: skip
    fill(client, url("item-write", visit, stop, "water_heater_unit"),
         relief_pipe="present", relief_ends_at="outdoors", relief_end_in="20",
         how_known="measured")  # fmt: skip

    smell, pipe = client.get(url("stop-read", visit, stop)).context["page"].proposals
    assert smell.key.startswith("gas.smell:")
    assert (smell.hazard, smell.timing) == (True, "today")
    assert ("gas smell", "yes") in [(one.label, one.value) for one in smell.facts]
    assert "the gas supplier" in stop_page(cast, visit, stop)
    assert pipe.key.startswith("wh.tpr_pipe:")
    # The state builds by the family that allows six inches, so nothing depends on it.
    seen = {one.rule: one for one in evaluate(cast.ines.actor, visit).proposals}
    assert seen["wh.tpr_pipe"].passage == "wh.relief_high"


def test_short_air_to_burn_is_told_on_the_page(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Garage"]

    fill(client, url("item-write", visit, stop, "burner_room"), input_btuh="140000",
         volume_ft3="800", how_known="measured")  # fmt: skip

    assert "7000" in stop_page(cast, visit, stop)


def test_measured_things_are_folded_below_the_keys(cast: Cast, visit: Visit) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Garage"]

    page = client.get(url("stop-read", visit, stop)).context["page"]

    assert "garage_opener" in {item.key for item in page.measured}
    assert "garage_door" in {item.key for item in page.items}


def test_a_used_proposal_becomes_a_finding_in_whole_sentences(
    cast: Cast, visit: Visit
) -> None:
    client = cast.ines.client()
    stop = started(cast, visit, client)["Garage"]
    fill(
        client,
        url("item-write", visit, stop, "water_heater_unit"),
        place="left corner",
        relief_pipe="present",
        relief_end_in="28",
        how_known="measured",
    )
    (offered,) = client.get(url("stop-read", visit, stop)).context["page"].proposals

    answer = client.post(
        offered.decide_url, {"key": offered.key, "choice": "use", "shown": "0"}
    )

    assert answer.status_code == 302
    actor = cast.ines.actor
    adopt(actor=actor, visit=visit, seen=evaluate(actor, visit))
    finding = Finding.objects.select_related("words").get()
    assert finding.words is not None
    assert finding.words.seen.startswith("Garage, left corner: ")
    assert "28 in above the floor" in finding.words.seen
    assert "plumber" in finding.words.action
    assert (finding.system, finding.item) == ("plumbing", "water_heater_controls")
    proposal = finding.proposal or {}
    assert proposal["source"].startswith("IRC P2804")
    assert proposal["facts"][0]["unit"] or proposal["facts"][-1]["unit"]
