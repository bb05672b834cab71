"""Order, decisions and the whole of a visit's proposals."""

from typing import Any

from findings.rules import visit
from tests.findings.rule_visits import (
    HOUSE_1978,
    NC,
    RECEPTACLE,
    RULES,
    SERVICE,
    SPACE,
    fed,
    offer,
    rules,
    stops,
)


def test_a_rule_from_memory_stays_with_the_firm_until_it_is_ticked() -> None:
    box = {"kind": "box", "stop": "garage", "box_kind": "junction", "cover": "missing"}
    facts = {**stops(), "b": box}
    given: tuple[Any, ...] = (facts, {}, HOUSE_1978, RULES, NC)

    assert visit.proposals(*given)[0].firm_only
    assert not visit.proposals(*given, ticked=["elec.box.covers"])[0].firm_only


def not_here(subject: str, reason: str = "exception_applies") -> dict[str, Any]:
    return {"kind": "decision", "rule": "elec.receptacle.cover_plate",
            "subject": subject, "choice": "not_here", "reason": reason}  # fmt: skip


def plates(*names: str) -> dict[str, dict[str, Any]]:
    return {
        name: {"kind": "box", "stop": "garage", "place": name, "box_kind": "switch",
               "cover": "missing"}
        for name in names
    }  # fmt: skip


def test_not_here_sets_a_proposal_aside_with_its_reason() -> None:
    facts = {**stops(), **plates("a"), "d": not_here("a")}
    result = visit.review(facts, {}, HOUSE_1978, RULES, NC)

    assert result.proposals == []
    assert result.set_aside[0].decision["reason"] == "exception_applies"


def test_the_same_reason_twice_sets_nothing_aside_by_itself() -> None:
    used = {**not_here("r1"), "rule": "elec.gfci.location"}
    bare = {**RECEPTACLE, "gfci_kind": "none"}
    twice = offer({"r": bare, "d1": used, "d2": {**used, "subject": "r2"}})

    # The page folds it (test_field_repeats.py); the answer stays the inspector's.
    assert rules(twice) == ["elec.gfci.location"]


def test_an_answer_covers_what_was_joined_and_nothing_later() -> None:
    told = {**not_here("a"), "covers": ["elec.receptacle.cover_plate:b"]}
    facts = {**stops(), **plates("a", "b", "c"), "d": told}
    result = visit.review(facts, {}, HOUSE_1978, RULES, NC)

    assert [one.subjects for one in result.proposals] == [["c"]]
    assert [one.subjects for one in result.set_aside] == [["a", "b"]]
    alone = visit.review({**facts, "d": not_here("a")}, {}, HOUSE_1978, RULES, NC)
    assert [one.covers for one in alone.proposals] == [
        ["elec.receptacle.cover_plate:b", "elec.receptacle.cover_plate:c"]
    ]


def test_a_used_proposal_carries_its_decision() -> None:
    decision = {
        "kind": "decision",
        "rule": "elec.ocpd.small_conductor",
        "subject": "s4",
        "choice": "change",
        "timing": "today",
    }
    found = offer({"panel": SERVICE, "s4": {**SPACE, "amps": 30}, "d": decision})[0]

    assert found.decision == {"record": "d", "choice": "change", "timing": "today"}


def test_three_phase_services_are_left_to_people() -> None:
    three = {**SERVICE, "phases": "three", "conductor_size": "2"}

    assert "elec.service.rating" not in rules(offer({"panel": three}))


def test_alarms_are_counted_once_every_room_was_left() -> None:
    alarm = {"kind": "alarm", "stop": "bed", "alarm_kind": "smoke", "made_year": 2011}
    old, few = offer({"a": alarm})

    # An old alarm never hides that others are missing.
    assert old.passage == "elec.smoke.old"
    assert old.blanks["made_year"] == "2011"
    assert few.passage == "elec.smoke.short"
    bed = {**stops()["bed"], "closed_at": None}
    assert rules(offer({"a": alarm, "bed": bed})) == ["elec.smoke.age"]


def test_a_height_judged_by_eye_asks_and_a_measured_one_speaks() -> None:
    low = {"kind": "measure", "stop": "garage", "item": "service_drop",
           "what": "drop_above_drive_ft", "value": "10.5", "unit": "ft",
           "how_known": "measured"}  # fmt: skip

    assert offer({"m": low})[0].passage == "elec.drop.low"
    assert offer({"m": {**low, "how_known": "estimated"}}) == []


def test_the_order_of_records_changes_nothing() -> None:
    records = {
        **stops(),
        **fed(neutral_and_ground="joined"),
        **{f"r{n}": {**RECEPTACLE, "gfci_kind": "none"} for n in range(4)},
        **plates("a", "b"),
    }
    first = visit.proposals(records, {}, HOUSE_1978, RULES, NC)
    items = list(records.items())
    for turn in range(len(items)):
        items = [*items[turn:], *reversed(items[:turn])]
        again = visit.proposals(dict(items), {}, HOUSE_1978, RULES, NC)
        assert again == first


def test_odd_values_in_the_log_ask_instead_of_breaking() -> None:
    wild = {**SPACE, "amps": 300, "size": "14"}
    found = offer({"panel": SERVICE, "s4": wild})

    assert [one.outcome for one in found] == ["undetermined"]
    assert "is it typed right?" in found[0].why


def test_a_plate_is_called_by_what_it_covers() -> None:
    kinds = {"switch": "switch", "receptacle": "receptacle", "luminaire": "light"}
    for kind, item in kinds.items():
        box = {**plates("a")["a"], "box_kind": kind}
        (found,) = offer({**stops(), "a": box})
        assert found.item == item
