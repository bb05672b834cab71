"""Washington: every line is there with its source, and a visit can answer it."""

from collections import Counter
from typing import Any

import pytest

from findings.rules import loader as rule_files
from findings.rules.visit import proposals
from findings.standards import statements
from findings.standards.ledger import Ledger, closable, index_findings, ledger
from findings.standards.loader import pack
from findings.standards.visit import Scope
from tests.findings.rule_visits import HOUSE_1978, RULES
from tests.findings.test_pack_tx import Records, walked
from tests.support.house_1978 import house, records

WA = pack("WA")
# What the demo's visit answered for another state, in that state's own lines: it is
# open here until it is said once more. Nothing else is.
DESCRIBED = {
    "WA-SI-001", "WA-ST-014", "WA-EX-001", "WA-RO-012", "WA-RO-013", "WA-RO-014",
    "WA-PL-001", "WA-PL-002", "WA-PL-003", "WA-PL-004", "WA-PL-005", "WA-PL-006",
    "WA-PL-007", "WA-PL-008", "WA-PL-009", "WA-PL-010", "WA-HE-001", "WA-HE-002",
    "WA-HE-003", "WA-CO-001", "WA-CO-003", "WA-IV-006", "WA-FI-001",
}  # fmt: skip
OPERATED = {
    "WA-PL-015", "WA-PL-016", "WA-HE-004", "WA-HE-005", "WA-HE-012", "WA-CO-002",
    "WA-CO-004", "WA-IN-008",
}  # fmt: skip


def stands(recorded: Records, scope: Scope | None = None) -> Ledger:
    offered = proposals(
        recorded,
        {},
        {**HOUSE_1978, "state": "WA"},
        RULES,
        rule_files.timeline("WA"),
        WA.absences(),
    )
    found: list[dict[str, Any]] = [
        {"id": p.key, "rule": p.rule, "passage": p.passage, "stop": p.stop}
        for p in offered
        if p.consequence
    ]
    found += [
        {"id": key, **one}
        for key, one in recorded.items()
        if one["kind"] == "hand_finding"
    ]
    return ledger(WA, recorded, index_findings(WA, found), scope)


def row(recorded: Records, duty: str) -> Any:
    return next(one for one in stands(recorded).rows if one.duty == duty)


def test_every_clause_is_there():
    # Counted in the project's own table of the clauses of WAC 308-408C-030 to -180:
    # 257 lines, 69 of which say what is not asked.
    assert (len(WA.duties), len(WA.exclusions)) == (188, 69)
    assert Counter(duty.system for duty in WA.duties) == {
        "general": 3, "site": 9, "structure": 23, "exterior": 18, "roof": 16,
        "plumbing": 17, "electrical": 40, "heating": 14, "cooling": 7, "interior": 15,
        "insulation_ventilation": 11, "fireplaces": 5, "attached_garage": 8,
        "life_safety": 2,
    }  # fmt: skip


def test_whole_systems_rest_on_memory_and_are_listed_for_the_firm():
    recalled = set(WA.from_memory())
    from_memory = {duty.system for duty in WA.duties if duty.source == "memory"}

    assert {"site", "exterior", "plumbing", "heating", "cooling"} <= from_memory
    assert {d.id for d in WA.duties if d.source == "memory"} <= recalled
    assert {"WA:agreement", "WA:delivery", "WA:retention", "WA-S-03"} <= recalled
    assert "WA-EL-031" not in recalled


def test_the_demos_visit_leaves_open_what_it_did_not_say_here():
    found = {line.duty for line in stands(walked()).open()}

    assert found == DESCRIBED | OPERATED


@pytest.mark.parametrize("duty", sorted(DESCRIBED | OPERATED))
def test_one_answer_of_a_person_closes_each_of_them(duty):
    asked = WA.duty(duty)
    answer = {"describe": "described", "operate": "operated"}.get(
        asked.duty, "reported"
    )
    said = {"kind": "duty", "duty": duty, "answer": answer, "text": "as seen"}

    assert row({**walked(), "d": said}, duty).state in ("described", "looked")


def test_one_reason_closes_every_line_of_a_system_that_could_not_run():
    off = {
        "kind": "limit",
        "reason": "utility_off",
        "text": "the water is off",
        "reach": ["system:plumbing"],
    }
    left = {line.duty for line in stands({**walked(), "l": off}).open()}

    assert not {duty for duty in left if duty.startswith("WA-PL-")}


def test_a_system_that_the_agreement_leaves_out_is_outside_it():
    some = Scope(systems=("electrical", "roof", "general"))
    states = {
        one.state for one in stands(walked(), some).rows if one.system == "plumbing"
    }

    assert states == {"outside_agreement"}


def test_the_state_gives_no_number_and_what_was_tried_is_still_said():
    rows = [one for one in stands(records()).rows if one.duty == "WA-EL-023"]

    assert {one.state for one in rows} == {"looked"}
    assert any(one.text == "Tried 6 of 6 receptacles." for one in rows)


def test_the_place_of_each_dead_device_is_wanted():
    dead = {
        "kind": "receptacle", "stop": "s-bath", "place": "beside the basin",
        "gfci_kind": "device", "gfci_own_button_trips": "no",
    }  # fmt: skip
    shown = {**records(), "r-bath": dead}
    bare = ledger(WA, shown, {})
    told = row(shown, "WA-EL-030")

    assert "WA-EL-030" in {line.duty for line in bare.open()}
    assert told.state == "reported"


def test_a_roof_that_was_not_walked_says_how_it_was_looked_at():
    said = [one.id for one in statements.due(WA, records(), [])]

    assert "WA-S-05" in said
    assert row(records(), "WA-RO-002").text == "The roof was looked at from the ground."


def test_a_look_from_the_hatch_is_no_entry():
    wide = {**records()["way-in"], "hatch_short_in": "20"}
    entry = row({**records(), "way-in": wide}, "WA-ST-016")

    assert entry.state == "open"
    assert row(records(), "WA-ST-016").state == "not_inspected"


def test_looking_together_never_closes_what_must_be_operated_or_described():
    for kind in ("s-out", "s-kit", "s-att", "s-gar"):
        duties = closable(WA, house().records, kind, Scope())
        assert all(duty.duty == "inspect" or duty.condition for duty in duties)
        assert duties
