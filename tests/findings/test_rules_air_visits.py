"""Air, age and radon in whole visits: what is asked, only told, or found."""

from __future__ import annotations

from typing import Any

import pytest

from findings.rules.visit import Result, review
from findings.selectors.evaluation import evaluate
from tests.findings.rule_visits import HOUSE_1978, RULES, stops
from tests.support.cast import Cast
from tests.support.field import fill, started, url
from tests.support.visits import make_visit

COOLED = {"kind": "air_reading", "air_mode": "cooling", "return_f": "75",
          "supply_f": "65", "minutes_run": 20, "humidity_pct": "50",
          "how_known": "measured"}  # fmt: skip


def whole(outside: int | None = None, /, **record: Any) -> Result:
    records = {**stops(), "o": {"stop": "garage", **record}}
    if outside is not None:
        records["visit"] |= {"temp_out_f": outside}
    return review(records, {}, HOUSE_1978, RULES, None)


def asked(found: Result) -> list[str]:
    return [need["field"] for one in found.proposals for need in one.needs]


def test_the_split_reads_the_temperature_entered_on_arrival() -> None:
    (warm,) = whole(85, **COOLED).proposals

    assert (warm.rule, warm.passage) == ("hvac.cooling_split", "hvac.split")
    assert {f["field"]: f["unit"] for f in warm.facts}["temp_out_f"] == "°F"
    assert whole(55, **COOLED).proposals == []


@pytest.mark.parametrize("unknown", ["minutes_run", "humidity_pct"])
def test_an_unusual_split_asks_for_what_would_explain_it(unknown: str) -> None:
    found = whole(85, **{k: v for k, v in COOLED.items() if k != unknown})

    assert asked(found) == [unknown]
    assert [one.consequence for one in found.proposals] == [""]


def test_without_a_temperature_on_arrival_it_is_asked_for() -> None:
    assert asked(whole(**COOLED)) == ["temp_out_f"]


def test_radon_without_its_conditions_asks_and_never_concludes() -> None:
    pair = {"kind": "radon_test", "test_type": "simultaneous", "first_pcil": "9",
            "second_pcil": "9"}  # fmt: skip

    bare = whole(**pair)
    done = whole(**pair, hours=48, closed_house="yes")

    assert asked(bare) == ["hours", "closed_house"]
    assert [one.consequence for one in bare.proposals] == [""]
    assert [one.passage for one in done.proposals] == ["radon.high"]


def test_a_low_pair_far_apart_says_so() -> None:
    pair = {"test_type": "simultaneous", "first_pcil": "0.4", "second_pcil": "1.2"}

    (found,) = whole(kind="radon_test", hours=48, closed_house="yes", **pair).proposals

    assert found.passage == "radon.again_low"
    assert found.blanks["rpd_percent"] == "100"


def test_a_plate_tells_its_age_beside_the_range_and_nothing_is_proposed() -> None:
    old = whole(kind="plate", item="water_heater", made_year=2001)
    odd = whole(kind="plate", item="main_panel", made_year=2001)

    assert old.proposals == []
    assert old.beside == {
        "o": (
            "25 years old by its plate; a study of 2007 gives 10 to 11 years as usual",
        )
    }
    assert odd.beside == {"o": ("25 years old by its plate",)}


def test_equipment_past_its_range_names_year_and_study() -> None:
    young = whole(kind="equipment", equipment_kind="dishwasher", made_year=2020)
    (old,) = whole(
        kind="equipment", equipment_kind="dishwasher", made_year=2010
    ).proposals

    assert young.beside["o"] == (
        "6 years old; a study of 2007 gives about 9 years as usual",
    )
    assert "made in 2010, 16 years old; a study of 2007" in old.why
    assert (old.blanks["made"], old.blanks["range"]) == ("2010", "about 9")


@pytest.mark.django_db
def test_the_page_of_a_stop_shows_the_age_beside_the_plate(cast: Cast) -> None:
    visit = make_visit(cast.ines)
    client = cast.ines.client()
    stop = started(cast, visit, client)["Kitchen"]
    fill(client, url("item-write", visit, stop, "plate"), item="dishwasher",
         made_year="2012")  # fmt: skip

    page = client.get(url("stop-read", visit, stop)).content.decode()

    assert "years old by its plate; a study of 2007 gives about 9 years" in page
    assert evaluate(cast.ines.actor, visit).proposals == ()
