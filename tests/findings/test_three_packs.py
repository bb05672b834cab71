"""One invented house of 1978 under three states' standards, side by side."""

import pytest
from django.urls import reverse

from findings.selectors.side_by_side import rows, sides
from findings.standards.due import delivery_words
from tests.support.cast import Cast
from tests.support.house_1978 import STATES, house, records, under_three
from tests.support.walked import walk

GFCI = "elec.gfci.location"


def proposed(side, rule):
    return next(one for one in side.proposals if one.rule == rule)


def test_a_missing_ground_fault_device_is_deficient_in_texas_and_a_note_elsewhere():
    found = {state: proposed(side, GFCI) for state, side in under_three().items()}

    assert found["TX"].outcome == "deficient_by_duty"
    assert found["NC"].outcome == found["WA"].outcome == "depends_on_adoption"
    # One note for the topic; it says which places met the rules of their day.
    assert "Laundry, behind the washer: This became usual" in found["NC"].age_note
    assert "Kitchen" in found["NC"].age_note
    assert set(found["NC"].places) == set(found["TX"].places)


def test_alone_in_the_laundry_it_met_the_rules_of_its_day_but_not_the_list_of_texas():
    left = {k: v for k, v in records().items() if v["kind"] != "receptacle"}
    only = {**left, "r-lau": records()["r-lau"]}
    compared = dict(zip(STATES, sides(house_of(only), STATES), strict=True))

    assert proposed(compared["NC"], GFCI).outcome == "met_then_safer_now"
    assert proposed(compared["NC"], GFCI).age_note
    assert proposed(compared["TX"], GFCI).outcome == "deficient_by_duty"


def house_of(only):
    whole = house()
    return type(whole)(
        records=only,
        conflicts={},
        facts=whole.facts,
        rules=whole.rules,
        ticked=whole.ticked,
        scope=whole.scope,
    )


@pytest.mark.parametrize("state", STATES)
def test_at_most_three_lines_cannot_be_told(state):
    assert len(under_three()[state].cannot_tell) <= 3


def test_the_kitchen_is_judged_by_when_it_was_redone():
    decided = proposed(under_three()["NC"], GFCI).edition["decided_by"]

    assert "altered 2004 to 2006" in decided
    assert "built 1978" in decided


def test_the_tight_crawl_space_is_a_gap_with_its_reason_where_a_state_gives_measures():
    def entry(state, duty):
        rows_ = under_three()[state].ledger.rows
        return next(row for row in rows_ if row.duty == duty)

    washington = entry("WA", "WA-ST-016")
    carolina = entry("NC", "NC-ST-014")

    assert washington.state == "not_inspected"
    assert "the short side of the opening measures 16 in" in washington.text
    assert carolina.state == "open"


def compared():
    found = list(under_three().values())
    return {row.label: row.cells for row in rows(house(), found)}


@pytest.mark.parametrize(
    ("label", "carolina", "texas", "washington"),
    [
        ("Report due", "three business days", "payment in full", "the day agreed here"),
        ("Words of a finding", "what follows from it", "“deficient” is kept", "where"),
        ("Summary", "3 systems or more", "not asked", "not asked"),
        ("Words fixed by law", "the whole report", "none", "none"),
        ("Who is named", "who signs", "everybody who took part", "who signs"),
        ("Sharing", "written consent", "the client", "immediate danger"),
        ("Records kept", "3 years", "for good", "for good"),
        ("Receptacles counted", "near plumbing: tried 9 of 9", "tried 18 of 18",
         "representative number: tried 18 of 18"),
        ("Said in the report", "nothing special", "foundation performed",
         "The roof was not walked on."),
    ],
)  # fmt: skip
def test_what_the_states_ask_differs_and_is_said(label, carolina, texas, washington):
    cells = compared()[label]

    assert carolina in cells[0]
    assert texas in cells[1]
    assert washington in cells[2]


def test_the_comparison_changes_with_the_pack_and_not_with_the_order():
    forward = sides(house(), STATES)
    back = sides(house(), tuple(reversed(STATES)))

    assert [s.pack.pack for s in forward] == [s.pack.pack for s in reversed(back)]
    assert [s.proposals for s in forward] == [s.proposals for s in reversed(back)]
    assert len({delivery_words(s.pack) for s in forward}) == 3


@pytest.mark.django_db
def test_a_visit_shows_the_states_side_by_side(cast: Cast) -> None:
    walked = walk(cast)
    url = reverse("visit-states", args=["northside", walked.visit.pk])

    page = cast.reviewer.client().get(url).content.decode()

    assert "Only North Carolina counts for this visit." in page
    for words in ("Texas", "Washington", "within two days of payment in full"):
        assert words in page
