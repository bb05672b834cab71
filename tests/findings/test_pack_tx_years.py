"""Texas: what the state names is deficient whatever the year of the house."""

import pytest
import yaml

from findings.rules import loader as rule_files
from findings.standards.ledger import deficient_by, tied
from findings.standards.loader import FIXTURES
from tests.findings.rule_visits import RECEPTACLE, stops
from tests.findings.test_pack_tx import BY_HAND, KEYS, TX, Records, offered, walked

GUARD = {"kind": "guard", "stop": "bath", "drop_in": "60", "guard": "present"}
ABSENT: dict[str, tuple[str, Records]] = {
    "TX-EL-028": ("elec.gfci.location", {"r": {**RECEPTACLE, "gfci_kind": "none"}}),
    "TX-LS-003": (
        "guards.height_openings",
        {"g": {**GUARD, "beside": "floor", "height_in": "36", "opening_in": "5.5",
               "how_known": "measured"}},
    ),
    "TX-LS-010": (
        "elec.co.location",
        {"l": {"kind": "alarm_look", "stop": "bed", "alarm_kind": "carbon_monoxide",
               "answer": "looked_none"},
         "o": {"kind": "observation", "stop": "garage", "item": "co_alarm",
               "what": "attached_garage", "answer": "yes", "how_known": "seen"}},
    ),
}  # fmt: skip


@pytest.mark.parametrize("duty", ABSENT)
def test_what_the_state_names_is_deficient_in_a_house_of_1978(duty):
    rule, records = ABSENT[duty]
    facts = {**stops(), **records}

    texas = next(p for p in offered(facts) if p.rule == rule)
    carolina = next(p for p in offered(facts, "NC") if p.rule == rule)

    assert texas.outcome == "deficient_by_duty"
    assert duty in texas.edition["decided_by"]
    # The same fact elsewhere is a note on age, or cannot be told.
    assert carolina.outcome in {"met_then_safer_now", "depends_on_adoption"}
    assert texas.passage == carolina.passage
    assert duty in {one.id for one in tied(TX, {"passage": texas.passage})}


def test_a_missing_ground_fault_device_is_an_era_note_in_north_carolina():
    facts = {**stops(), **ABSENT["TX-EL-028"][1]}
    note = next(p for p in offered(facts, "NC") if p.rule == "elec.gfci.location")

    assert note.age_note
    assert "met_then" in note.outcome or "depends" in note.outcome


def test_the_demo_as_a_house_of_1978():
    by_duty = {p.rule for p in offered(walked()) if p.outcome == "deficient_by_duty"}

    assert by_duty == {
        "elec.gfci.location", "elec.afci.location", "elec.smoke.location",
        "elec.co.location", "elec.panel.working_space", "elec.multiwire",
    }  # fmt: skip
    # What the state does not name stays a note on age.
    dated = {p.rule: p.outcome for p in offered(walked())}
    assert dated["elec.receptacle.tamper"] == "met_then_safer_now"


def test_a_rule_counts_whole_only_where_the_state_names_it_whole():
    absent = TX.absences()

    assert absent["elec.afci.location"] == "TX-EL-037"
    assert absent["elec.panel.working_space"] == "TX-EL-006"
    assert "garage.door" in absent
    assert "garage.separation" not in absent  # a door that closes itself is not named
    assert "guards.height_openings" not in absent  # only the gap is named


@pytest.mark.parametrize(
    ("finding", "named"),
    [
        # An absence that the state names, whatever it weighs and whatever its age.
        ({"passage": "elec.afci.absent", "consequence": "old_for_kind"}, True),
        ({"passage": "elec.gfci.absent", "age_note": "Usual later."}, True),
        # A condition seen by a person.
        ({"item": "gutter", "system": "roof", "consequence": "harming_building"}, True),
        ({"duties": ["TX-SI-003"], "consequence": "upkeep"}, True),
        # Old for its kind, upkeep, or only a newer habit: not named by the state.
        (
            {"item": "cooling", "system": "cooling", "consequence": "old_for_kind"},
            False,
        ),
        ({"item": "gutter", "system": "roof", "consequence": "upkeep"}, False),
        ({"passage": "elec.tamper.absent", "age_note": "Usual later."}, False),
        ({"passage": "guards.low", "age_note": "Usual later."}, False),
        # A line that is told and not called deficient.
        ({"item": "door", "system": "structure", "consequence": "did_not_work"}, False),
    ],
)
def test_only_what_the_state_names_is_called_deficient(finding, named):
    assert bool(deficient_by(TX, finding)) is named


def test_the_list_of_editions_is_sourced_and_in_order():
    path = FIXTURES / "timelines" / "tx.yaml"
    lines = yaml.safe_load(path.read_text())["lines"]
    days = [line["effective"] for line in lines]

    assert days == sorted(days)
    assert [line["edition"] for line in lines] == [2014, 2017, 2020, 2023]
    assert all("(read 2026-" in line["source"] for line in lines)
    assert len(rule_files.timeline("TX").lines) == len(lines)


# What the state asks nothing about: the size of the service (by its own words), newer
# habits, a pool's fence, radon, an age as such.
BEYOND = (
    "elec.service.small", "elec.service.two_wire", "elec.service.voltage_off",
    "elec.surge.", "elec.circuits.", "room.low", "garage.bedroom", "garage.closer",
    "pool.", "radon.", "life.", "era.",
)  # fmt: skip
TOLD = [key for key in KEYS if not key.startswith(BEYOND)]


@pytest.mark.parametrize("key", [*TOLD, *(one["key"] for one in BY_HAND)])
def test_whatever_a_passage_says_reports_some_line(key):
    passage = next((one for one in BY_HAND if one["key"] == key), {"key": key})
    finding = {"passage": key, "item": passage.get("item", "")}

    assert tied(TX, finding)
