"""The electrical ledger of North Carolina, duty by duty, from a folded visit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from findings.standards.ledger import ledger
from findings.standards.loader import pack
from findings.standards.visit import Scope
from tests.support.nc_visit import electrical, main_panel, stop, subpanel, tried

ELECTRICAL = Scope(frozenset({"electrical", "life_safety"}))


def ledger_of(folded, index=None, conflicts=None):
    return ledger(pack("NC"), folded, index or {}, ELECTRICAL, conflicts)


def rows(folded, duty, index=None):
    return [r for r in ledger_of(folded, index).rows if r.duty == duty]


def row(folded, duty, index=None):
    (only,) = rows(folded, duty, index)
    return only


def without(*ids):
    return {i: r for i, r in electrical().items() if i not in ids}


def changed(record_id, **fields):
    folded = electrical()
    folded[record_id] = {**folded[record_id], **fields}
    return folded


def test_a_complete_visit_leaves_nothing_open():
    assert ledger_of(electrical()).open() == ()


def test_an_empty_visit_leaves_every_duty_open_or_absent():
    states = {r.state for r in ledger_of({}).rows if r.system == "electrical"}

    assert states <= {"open", "not_present"}
    assert not ledger_of({}).complete()


@pytest.mark.parametrize(
    ("duty", "text"),
    [
        ("NC-EL-025", "200 amperes, 120/240 volts."),
        ("NC-EL-026", "Service conductors: aluminum."),
        ("NC-EL-027", "The service comes in overhead."),
        ("NC-EL-028", "Main panel: rear wall of the garage."),
    ],
)
def test_a_description_comes_from_the_record_that_holds_it(duty, text):
    found = row(electrical(), duty)

    assert (found.state, found.text, found.together) == ("described", text, False)


@pytest.mark.parametrize(
    ("field", "duty"),
    [
        ("volts", "NC-EL-025"),
        ("main_amps", "NC-EL-025"),
        ("conductor_material", "NC-EL-026"),
        ("service_kind", "NC-EL-027"),
        ("location", "NC-EL-028"),
    ],
)
def test_a_description_without_its_record_stays_open_though_the_stop_is_closed(
    field, duty
):
    assert row(changed("e-main", **{field: None}), duty).state == "open"


def test_a_conductor_nobody_saw_describes_nothing():
    folded = changed("e-main", conductor_how="not_seen")

    assert row(folded, "NC-EL-026").state == "open"


def test_closing_a_stop_closes_inspect_duties_together():
    found = row(electrical(), "NC-EL-004")

    assert (found.state, found.together, found.stop) == ("looked", True, "s-svc")


def test_a_duty_struck_out_at_every_stop_stays_open():
    folded = electrical()
    for stop_id in ("s-out", "s-gar", "s-svc"):
        folded[stop_id]["closed_struck"] = ["NC-EL-004"]

    (line,) = ledger_of(folded).open()

    assert (line.duty, line.place, line.needs_feet) == (
        "NC-EL-004",
        "Service equipment",
        True,
    )


def test_a_panel_is_closed_where_it_hangs_not_where_another_stop_is_closed():
    folded = changed("s-svc", closed_at=None)

    assert row(folded, "NC-EL-007").state == "open"
    assert row(folded, "NC-EL-007").stop == "s-svc"


def test_an_open_stop_closes_nothing():
    folded = electrical()
    for stop_id in ("s-out", "s-gar", "s-svc"):
        folded[stop_id]["closed_at"] = None

    assert row(folded, "NC-EL-004").state == "open"


def test_a_panel_interior_needs_the_cover_off_before_closing_counts():
    found = row(changed("e-main", cover_removed=None), "NC-EL-007")

    assert found.state == "open"
    assert "cover of the main panel" in found.hint


def test_a_panel_left_closed_is_not_inspected_for_the_reason_given():
    folded = changed("e-main", cover_removed="left_on", cover_reason="Rust, no grip.")

    interior, reported = row(folded, "NC-EL-007"), row(folded, "NC-EL-009")

    assert (interior.state, interior.text) == ("not_inspected", "Rust, no grip.")
    assert reported.state == "described"
    assert reported.text == "Main panel: the cover was left on. Rust, no grip."


def test_a_panel_left_closed_without_a_reason_is_open():
    folded = changed("e-main", cover_removed="left_on")

    assert {r.state for r in rows(folded, "NC-EL-007")} == {"open"}
    assert row(folded, "NC-EL-009").state == "open"


def test_the_duty_about_closed_panels_arises_only_with_one():
    assert rows(electrical(), "NC-EL-009") == []


@pytest.mark.parametrize("duty", ["NC-EL-012", "NC-EL-013", "NC-EL-014"])
def test_branch_duties_wait_for_the_panel_map(duty):
    found = row(changed("e-main", map_done=None), duty)

    assert (found.state, found.hint) == ("open", "Mark the panel map done.")


def test_other_panels_are_absent_when_none_was_recorded():
    for duty in ("NC-EL-008", "NC-EL-029"):
        assert row(electrical(), duty).state == "not_present"


def test_other_panels_are_described_each_at_its_place():
    folded = {**electrical(), "e-sub": subpanel()}

    assert row(folded, "NC-EL-008").state == "looked"
    assert row(folded, "NC-EL-029").text == "Subpanel: hall."


def test_one_panel_without_a_location_keeps_the_description_open():
    folded = {**electrical(), "e-sub": subpanel()}
    folded["e-sub2"] = {**subpanel(), "location": ""}

    assert row(folded, "NC-EL-029").state == "open"


def test_solid_aluminum_must_be_reported():
    folded = changed("w-1", material="aluminium")

    assert row(folded, "NC-EL-030").hint.startswith("Solid aluminum")
    assert row(folded, "NC-EL-030", {"NC-EL-030": ["f-1"]}).state == "reported"


def test_solid_aluminum_seen_at_one_breaker_must_be_reported():
    space = {"kind": "space", "material": "aluminium", "stranding": "solid"}
    branch = {**electrical(), "p": {**space, "amps": 20}}
    feeder = {**electrical(), "p": {**space, "amps": 60}}

    assert row(branch, "NC-EL-030").state == "open"
    # A large feeder in aluminum is no branch wiring.
    assert row(feeder, "NC-EL-030").state == "described"


def test_copper_branch_wiring_is_said_so():
    assert row(electrical(), "NC-EL-030").text == "Branch wiring seen: copper."


@pytest.mark.parametrize(
    "fields", [{"cover": "missing"}, {"openings_unfilled": 1}, {"cover": "damaged"}]
)
def test_a_missing_cover_or_open_hole_must_be_reported(fields):
    folded = changed("e-main", **fields)

    assert row(folded, "NC-EL-031").state == "open"
    assert row(folded, "NC-EL-031", {"NC-EL-031": ["f-1"]}).state == "reported"


def test_a_must_report_needs_words_to_be_set_aside():
    folded = changed("e-main", openings_unfilled=1)
    answer = {"kind": "duty", "duty": "NC-EL-031", "answer": "looked"}

    assert row({**folded, "d": answer}, "NC-EL-031").state == "open"
    told = {**answer, "text": "A blank plate was fitted while we watched."}
    assert row({**folded, "d": told}, "NC-EL-031").state == "looked"


def test_ground_fault_devices_are_each_tried():
    folded = electrical()
    folded["r-2"] = {"kind": "receptacle", "stop": "s-gar", "gfci_kind": "device"}

    found = row(folded, "NC-EL-024")

    assert found.state == "open"
    assert found.hint == "1 of 2 ground-fault devices not tried: try, or say why not."
    folded["r-2"]["gfci_tester_trips"] = "no"
    done = row(folded, "NC-EL-024")
    assert (done.state, done.tried, done.total) == ("looked", 2, 2)


def test_an_alarm_not_tried_keeps_its_duty_open():
    folded = changed("a-1", sounded="not_tried")

    assert {row(folded, d).state for d in ("NC-LS-002", "NC-LS-004")} == {"open"}


def test_looked_none_says_that_no_alarm_was_found():
    folded = without("a-1")
    folded["l"] = {
        "kind": "alarm_look",
        "stop": "s-bed",
        "alarm_kind": "smoke",
        "answer": "looked_none",
    }

    assert row(folded, "NC-LS-001").text == "Looked for smoke alarms; none found."
    assert row(folded, "NC-LS-002").state == "not_present"
    assert row(folded, "NC-LS-003").state == "open"


def test_an_estimated_value_in_conflict_describes_nothing():
    conflicts = {("e-main", "main_amps"): [150, 200]}
    found = ledger_of(electrical(), conflicts=conflicts)

    assert [line.duty for line in found.open()] == ["NC-EL-025"]


def test_the_house_without_a_garage_has_no_garage_receptacles():
    folded = without("s-gar")

    assert row(folded, "NC-EL-020").state == "not_present"


def test_no_stop_means_the_answer_is_given_at_the_desk():
    folded = {"e": main_panel(service_kind=None), "s": stop("Bath", "room", "a")}
    line = next(o for o in ledger_of(folded).open() if o.duty == "NC-EL-027")

    assert (line.stop, line.place) == ("", "At the desk")


@given(st.sets(st.sampled_from(sorted(electrical()))), st.booleans())
def test_less_recorded_never_closes_more(left_out, closed):
    full, part = electrical(), without(*left_out)
    if not closed:
        part = {i: {**r, "closed_at": None} for i, r in part.items()}

    found = ledger_of(part)

    assert {r.stop for r in found.rows} <= {"", *part}
    assert all(r.hint for r in found.rows if r.state == "open")
    said = {r.duty for r in found.rows if r.state == "described"}
    assert said <= {r.duty for r in ledger_of(full).rows if r.state == "described"}


def test_every_row_names_a_stop_of_the_visit_or_none():
    folded = {**electrical(), "x": stop("Hall", "room", "h", **tried(1))}

    assert {r.stop for r in ledger_of(folded).rows} <= {"", *folded}
