"""Counts in the ledger: one in every room, every one in the strict groups."""

import pytest

from findings.standards.ledger import Tally, ledger
from findings.standards.loader import pack
from findings.standards.visit import FindingRef, Scope
from tests.support.nc_visit import electrical, stop, tried

ELECTRICAL = Scope(frozenset({"electrical"}))


def ledger_of(folded, index=None):
    return ledger(pack("NC"), folded, index or {}, ELECTRICAL)


def row(folded, duty, at, index=None):
    found = ledger_of(folded, index)
    return next(r for r in found.rows if r.duty == duty and r.stop == at)


def with_counts(stop_id, **counts):
    folded = electrical()
    folded[stop_id] = {**folded[stop_id], **counts}
    return folded


def test_one_tried_in_a_bedroom_is_a_representative_number():
    found = row(with_counts("s-bed", receptacles_tried=1), "NC-EL-018", "s-bed")

    assert (found.state, found.text) == ("looked", "Tried 1 of 4 receptacles.")


def test_none_tried_in_a_bedroom_is_open_there():
    folded = with_counts("s-bed", receptacles_tried=0)

    lines = [o for o in ledger_of(folded).open() if o.duty == "NC-EL-018"]

    assert [(o.stop, o.place) for o in lines] == [("s-bed", "Bedroom")]


@pytest.mark.parametrize(
    ("duty", "at"),
    [
        ("NC-EL-019", "s-kit"),
        ("NC-EL-020", "s-gar"),
        ("NC-EL-021", "s-out"),
        ("NC-EL-022", "s-kit"),
        ("NC-EL-023", "s-out"),
    ],
)
def test_in_the_strict_groups_every_one_counts(duty, at):
    seen = electrical()[at]["receptacles_seen"]

    found = row(with_counts(at, receptacles_tried=seen - 1), duty, at)

    assert found.state == "open"
    assert found.hint == f"Every one counts here: 1 of {seen} receptacles not tried."


def test_one_out_of_reach_is_said_and_counts():
    folded = with_counts("s-kit", receptacles_tried=4, receptacles_not_reachable=1)

    found = row(folded, "NC-EL-019", "s-kit")

    assert found.state == "looked"
    assert found.text == "Tried 4 of 5 receptacles; 1 out of reach."


def test_a_strict_group_without_a_count_asks_for_it():
    folded = with_counts("s-gar", receptacles_seen=None)

    assert "seen, tried" in row(folded, "NC-EL-020", "s-gar").hint


def test_a_bedroom_is_not_in_the_strict_groups():
    found = ledger_of(electrical())

    strict = {"NC-EL-019", "NC-EL-022", "NC-EL-023"}
    assert not [r for r in found.rows if r.duty in strict and r.stop == "s-bed"]


def test_a_room_with_a_sink_is_near_plumbing_whatever_its_use():
    folded = electrical()
    folded["s-bar"] = stop(
        "Den", "room", "h", room_use="family", has_sink=True, **tried(3)
    )

    assert row(folded, "NC-EL-019", "s-bar").state == "looked"


def test_a_place_without_any_is_not_present():
    folded = with_counts("s-out", receptacles_seen=0, receptacles_tried=0)

    assert row(folded, "NC-EL-021", "s-out").state == "not_present"


def test_a_finding_at_the_stop_reports_the_count_there_only():
    index = {"NC-EL-018": [FindingRef("f-1", "s-kit")]}

    kitchen = row(electrical(), "NC-EL-018", "s-kit", index)

    assert (kitchen.state, kitchen.findings) == ("reported", ("f-1",))
    assert row(electrical(), "NC-EL-018", "s-bed", index).state == "looked"


def test_a_finding_does_not_finish_a_count():
    folded = with_counts("s-gar", receptacles_tried=1)

    assert row(folded, "NC-EL-020", "s-gar", {"NC-EL-020": ["f"]}).state == "open"


def test_lights_and_switches_want_one_in_every_place():
    folded = with_counts("s-gar", lights_tried=0, switches_tried=None)

    open_here = {o.duty for o in ledger_of(folded).open("s-gar")}

    assert open_here == {"NC-EL-016", "NC-EL-017"}


def test_one_alone_is_said_in_the_singular():
    assert row(electrical(), "NC-EL-017", "s-bed").text == "Tried 1 switch."
    assert row(electrical(), "NC-EL-016", "s-bed").text == "Tried 1 light."


def test_the_tally_adds_the_places_up():
    folded = with_counts("s-bed", receptacles_tried=1)

    # 2 outside + 3 garage + 5 kitchen + 1 of 4 in the bedroom
    assert ledger_of(folded).tally("NC-EL-018") == Tally(11, 14, 4, 4)
    assert ledger_of(folded).tally("NC-EL-016").total is None


def test_a_limit_closes_what_is_left_of_a_count():
    folded = with_counts("s-kit", receptacles_tried=2)
    folded["l"] = {"kind": "limit", "reason": "stored_goods", "reach": ["s-kit"]}

    found = row(folded, "NC-EL-019", "s-kit")

    assert (found.state, found.text) == (
        "not_inspected",
        "stored goods stood in the way",
    )


def test_a_persons_answer_for_the_six_feet_stands_for_the_room():
    folded = with_counts("s-kit", receptacles_tried=3)
    folded["d"] = {
        "kind": "duty",
        "duty": "NC-EL-019",
        "stop": "s-kit",
        "answer": "operated",
        "text": "All three within six feet of the sink were tried.",
    }

    assert row(folded, "NC-EL-019", "s-kit").state == "looked"
