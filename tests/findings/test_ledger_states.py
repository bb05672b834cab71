"""The ledger's states: a person's answers, limits, scope, absence, and the index."""

import pytest
import yaml

from findings.standards.coverage import by_place, limited_sentence, listed, outside
from findings.standards.ledger import closable, index_findings, ledger
from findings.standards.loader import FIXTURES, pack
from findings.standards.visit import FindingRef, Scope
from tests.support.nc_visit import electrical, stop

ALL = Scope()
ONE = Scope(frozenset({"electrical", "life_safety"}))


def ledger_of(folded, scope=ALL, index=None, conflicts=None):
    return ledger(pack("NC"), folded, index or {}, scope, conflicts)


def row(folded, duty, **kwargs):
    return next(r for r in ledger_of(folded, **kwargs).rows if r.duty == duty)


def answer(duty, answer, text="", **fields):
    return {"kind": "duty", "duty": duty, "answer": answer, "text": text, **fields}


@pytest.mark.parametrize(
    ("duty", "said", "text", "state"),
    [
        ("NC-RO-001", "looked", "", "looked"),
        ("NC-RO-001", "not_present", "", "not_present"),
        ("NC-RO-001", "not_inspected", "Snow.", "not_inspected"),
        ("NC-RO-001", "not_inspected", "", "open"),
        ("NC-RO-001", "outside_agreement", "", "outside_agreement"),
        ("NC-RO-008", "described", "Asphalt shingles.", "described"),
        ("NC-RO-008", "described", "  ", "open"),
        ("NC-RO-008", "looked", "", "open"),
        ("NC-EL-015", "operated", "", "looked"),
        ("NC-EL-015", "looked", "", "open"),
        ("NC-ST-019", "looked", "", "looked"),
        ("NC-ST-019", "reported", "", "open"),
        ("NC-ST-019", "reported", "Stain at the sill.", "described"),
    ],
)
def test_what_a_person_says_of_one_duty(duty, said, text, state):
    folded = {"s": stop("Roof", "roof", "a"), "d": answer(duty, said, text)}
    if duty.startswith("NC-RO-001"):
        folded["s"]["closed_at"] = None

    assert row(folded, duty).state == state


def test_a_person_who_says_more_outranks_the_closing():
    folded = {
        "s": stop("Outside", "outside", "a"),
        "d": answer("NC-SI-001", "not_inspected", "Covered by a truck.", stop="s"),
    }

    assert row(folded, "NC-SI-001").text == "Covered by a truck."
    assert row(folded, "NC-SI-003").together


def test_together_is_kept_from_the_persons_own_record():
    folded = {"d": answer("NC-SI-001", "looked", together=True)}

    assert row(folded, "NC-SI-001").together


def test_two_answers_in_conflict_are_open():
    folded = {"d": answer("NC-SI-001", "looked")}
    conflicts = {("d", "answer"): ["looked", "not_present"]}

    assert "Two answers" in row(folded, "NC-SI-001", conflicts=conflicts).hint


def test_one_reason_closes_many_duties():
    folded = {
        "s": stop("Attic", "attic", "a", closed_at=None),
        "l": {"kind": "limit", "reason": "low_clearance", "reach": ["s"]},
    }
    attic_only = ["NC-ST-006", "NC-ST-012", "NC-ST-018", "NC-IV-003"]

    found = [row(folded, duty) for duty in attic_only]

    assert {r.state for r in found} == {"not_inspected"}
    assert {r.text for r in found} == {"there was too little height to enter"}


def test_a_limit_reaches_a_system_or_a_single_duty():
    folded = {
        "s": stop("Den", "room", "a"),
        "l": {
            "kind": "limit",
            "reason": "utility_off",
            "text": "gas at the meter",
            "reach": ["system:heating", "NC-AP-002"],
        },
    }

    assert row(folded, "NC-HE-012").text == "a utility was off: gas at the meter"
    assert row(folded, "NC-AP-002").state == "not_inspected"
    assert row(folded, "NC-AP-001").state == "open"


def test_an_exception_is_unticked_from_a_limit_by_an_answer():
    folded = {
        "s": stop("Den", "room", "a"),
        "l": {"kind": "limit", "reason": "utility_off", "reach": ["system:heating"]},
        "d": answer("NC-HE-010", "described", "Natural gas."),
    }

    assert row(folded, "NC-HE-010").state == "described"
    assert row(folded, "NC-HE-011").state == "not_inspected"


def test_a_duty_of_two_stops_is_not_closed_by_a_limit_on_one():
    folded = {
        "o": stop("Outside", "outside", "a"),
        "g": stop("Garage", "garage", "b"),
        "l": {"kind": "limit", "reason": "locked", "reach": ["g"]},
    }

    assert row(folded, "NC-ST-001").state == "looked"
    assert row(folded, "NC-ST-001").stop == ""  # no one place is the foundation


def test_every_side_of_the_house_has_to_be_closed():
    folded = {
        "f": stop("Front", "outside", "a"),
        "r": stop("Rear", "outside", "b", closed_at=None),
    }

    assert row(folded, "NC-EX-012").state == "open"
    assert row(folded, "NC-EX-012").stop == "r"
    folded["r"] = stop("Rear", "outside", "b")
    assert (row(folded, "NC-EX-012").state, row(folded, "NC-EX-012").stop) == (
        "looked",
        "",
    )


def test_a_limit_on_one_side_lets_the_others_close():
    folded = {
        "f": stop("Front", "outside", "a"),
        "r": stop("Rear", "outside", "b", closed_at=None),
        "l": {"kind": "limit", "reason": "animal", "reach": ["r"]},
    }

    assert row(folded, "NC-EX-012").state == "looked"


def test_a_description_stays_one_beside_a_finding_on_the_same_thing():
    folded = {"d": answer("NC-EX-015", "described", "Brick.")}

    found = row(folded, "NC-EX-015", index={"NC-EX-015": ["f"]})

    assert (found.state, found.findings) == ("described", ("f",))


def test_a_report_stands_at_the_stop_where_its_findings_were_made():
    folded = {"a": stop("Front", "outside", "a"), "b": stop("Rear", "outside", "b")}
    one = {"NC-EX-001": [FindingRef("f", "b")]}
    two = {"NC-EX-001": [FindingRef("f", "b"), FindingRef("g", "a")]}

    assert row(folded, "NC-EX-001", index=one).stop == "b"
    assert row(folded, "NC-EX-001", index=two).stop == ""


def test_a_persons_own_words_stand_after_what_they_are_about():
    folded = {
        "s": stop("Garage", "garage", "a"),
        "d": answer("NC-PL-019", "described", "Electricity.", stop="s"),
    }
    scope = Scope(frozenset({"plumbing"}))

    (place,) = [p for p in by_place(ledger_of(folded, scope)) if p.stop == "s"]

    assert "Water heater fuel or power: Electricity." in place.sentences


def test_a_stop_that_was_not_looked_at_closes_nothing():
    folded = {"r": stop("Roof", "roof", "a", method="not_done")}

    assert row(folded, "NC-RO-001").hint == "Say why this was not looked at."
    folded["r"]["method_reason"] = "wet and steep"
    assert row(folded, "NC-RO-001").state == "not_inspected"
    assert row(folded, "NC-RO-001").text == "wet and steep"


def test_the_method_used_is_said_in_words():
    folded = {"r": stop("Roof", "roof", "a", method="from_ground")}

    assert row(folded, "NC-RO-009").text == "The roof was looked at from the ground."


def test_systems_left_out_are_outside_the_agreement():
    found = ledger_of(electrical(), ONE)

    assert row(electrical(), "NC-RO-001", scope=ONE).state == "outside_agreement"
    assert "roof" in outside(found)
    assert found.open() == ()


def test_a_limited_visit_says_so():
    assert limited_sentence(pack("NC"), ALL) == ""
    assert limited_sentence(pack("NC"), ONE) == (
        "This was a limited inspection. It took in only: electrical and smoke "
        "and carbon monoxide alarms."
    )


def test_closable_lists_only_inspect_duties_of_the_stop():
    folded = electrical()

    listed_ids = [d.id for d in closable(pack("NC"), folded, "s-svc", ONE)]

    assert "NC-EL-004" in listed_ids
    assert not {"NC-EL-025", "NC-EL-018", "NC-EL-019"} & set(listed_ids)
    assert closable(pack("NC"), folded, "unknown", ONE) == []


@pytest.mark.parametrize(
    ("finding", "duty"),
    [
        ({"rule": "elec.ocpd.small_conductor"}, "NC-EL-014"),
        ({"passage": "elec.terminal.doubled"}, "NC-EL-007"),
        ({"item": "gutter", "system": "roof"}, "NC-RO-002"),
        ({"duties": ["NC-GA-002"]}, "NC-GA-002"),
        ({"rule": "elec.smoke.location"}, "NC-LS-001"),
    ],
)
def test_a_finding_is_tied_to_its_duty(finding, duty):
    index = index_findings(pack("NC"), [{"id": "f", "stop": "s", **finding}])

    assert index[duty] == [FindingRef("f", "s")]


def test_an_item_of_two_systems_is_tied_to_the_findings_own():
    finding = {"id": "f", "item": "ducts", "system": "cooling"}

    assert list(index_findings(pack("NC"), [finding])) == ["NC-CO-003"]


def test_an_item_that_this_state_sorts_under_another_system_is_still_tied():
    # Texas asks of gutters under the site, North Carolina under the roof.
    finding = {"id": "f", "item": "gutter", "system": "site"}

    assert list(index_findings(pack("NC"), [finding])) == ["NC-RO-002"]


def test_a_finding_never_describes():
    folded = {"s": stop("Roof", "roof", "a")}

    assert row(folded, "NC-RO-008", index={"NC-RO-008": ["f"]}).state == "open"


def test_the_ledger_reads_by_place_in_sentences():
    folded = electrical()
    folded["s-kit"]["receptacles_tried"] = 4
    folded["l"] = {"kind": "limit", "reason": "furnished", "reach": ["NC-EL-019"]}
    index = {"NC-EL-018": [FindingRef("f", "s-bed")]}

    places = {p.place: p for p in by_place(ledger_of(folded, ONE, index))}

    kitchen, bedroom = places["Kitchen"], places["Bedroom"]
    assert "Tried 4 of 5 receptacles." in kitchen.sentences
    assert kitchen.gaps == (
        "Not inspected: receptacles near plumbing. Furniture stood in the way.",
    )
    assert "Reported in the findings: receptacles." in bedroom.sentences
    assert "200 amperes, 120/240 volts." in places["Service equipment"].sentences


def test_of_the_whole_house_it_is_said_system_by_system():
    folded = {"a": stop("Front", "outside", "a"), "b": stop("Rear", "outside", "b")}

    (house,) = [p for p in by_place(ledger_of(folded)) if p.stop == ""]

    assert (
        "Site, looked at, nothing noted: driveways, patios, walkways, retaining walls, "
        "vegetation, grading and drainage."
    ) in house.sentences


def test_names_are_listed_once_with_and():
    assert listed([]) == ""
    assert listed(["doors"]) == "doors"
    assert listed(["walls", "doors", "walls", "floors"]) == "walls, doors and floors"


RULE_KEYS = yaml.safe_load((FIXTURES / "rules/passage_keys.yaml").read_text())["keys"]


# The state's standard asks nothing of a pool's fence, of radon or of an age as such.
BEYOND = ("pool.", "radon.", "life.", "era.")


@pytest.mark.parametrize(
    "key", sorted(k for k in RULE_KEYS if not k.startswith(BEYOND))
)
def test_whatever_a_rule_says_reports_some_duty(key):
    assert index_findings(pack("NC"), [{"id": "f", "passage": key}])
