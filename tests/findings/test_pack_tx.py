"""Texas: every line is there with its source, and a visit can answer it."""

import re
from collections import Counter
from collections.abc import Iterator
from datetime import datetime
from functools import cache
from typing import Any
from uuid import UUID

import pytest
import yaml

from findings.rules import loader as rule_files
from findings.rules.visit import proposals
from findings.standards import statements
from findings.standards.coverage import closing_words
from findings.standards.ledger import Ledger, closable, index_findings, ledger
from findings.standards.loader import FIXTURES, pack
from findings.standards.schema import Duty, Exclusion
from findings.standards.schema_base import Where
from findings.standards.visit import FindingRef, Scope
from reports.demo import script
from tests.findings.rule_visits import HOUSE_1978, RULES
from tests.support.nc_visit import stop, tried

TX = pack("TX")
Records = dict[str, dict[str, Any]]
KEYS = yaml.safe_load((FIXTURES / "rules/passage_keys.yaml").read_text())["keys"]
BY_HAND = yaml.safe_load((FIXTURES / "passages/house.yaml").read_text())["passages"]
KINDS = yaml.safe_load((FIXTURES / "vocabulary/records.yaml").read_text())["kinds"]
AT_A_STOP = [duty for duty in TX.duties if not duty.held_by]


@cache
def walked() -> Records:
    """The demo's visit, recorded for another state: its answers are not ours."""
    return script.write(
        run="tx",
        visit=UUID("01930000-0000-7000-8000-000000000001"),
        starts_at=datetime.fromisoformat("2026-11-23T08:20:00-05:00"),
        zone="America/New_York",
    ).folded()


def offered(records: Records, state: str = "TX") -> list[Any]:
    """What the rules offer for these records in a house of 1978 of a state."""
    house = {**HOUSE_1978, "state": state}
    timeline = rule_files.timeline(state)
    return proposals(records, {}, house, RULES, timeline, pack(state).absences())


def found_on(records: Records) -> dict[str, list[FindingRef]]:
    by_hand = [
        {"id": k, **r} for k, r in records.items() if r["kind"] == "hand_finding"
    ]
    by_rule = [
        {"id": p.key, "rule": p.rule, "passage": p.passage, "stop": p.stop}
        for p in offered(records)
        if p.consequence
    ]
    return index_findings(TX, [*by_hand, *by_rule])


def stands(records: Records, index: Any = None, scope: Scope | None = None) -> Ledger:
    return ledger(TX, records, index or {}, scope)


def row(records: Records, duty: str, index: Any = None) -> Any:
    return next(r for r in stands(records, index).rows if r.duty == duty)


# --- the file -----------------------------------------------------------------


def test_every_clause_is_there():
    # Counted in the project's own table of the rule's clauses (22 TAC 535.222-535.233):
    # 263 lines, 45 of which say what is not asked.
    assert (len(TX.duties), len(TX.exclusions)) == (218, 45)
    assert Counter(d.system for d in TX.duties) == {
        "general": 9, "site": 3, "structure": 16, "exterior": 13, "roof": 14,
        "plumbing": 38, "electrical": 45, "heating": 22, "cooling": 14,
        "interior": 4, "insulation_ventilation": 6, "fireplaces": 9,
        "attached_garage": 6, "life_safety": 10, "appliances": 9,
    }  # fmt: skip
    assert Counter(e.system for e in TX.exclusions) == {
        "general": 11, "site": 3, "structure": 2, "exterior": 3, "roof": 2,
        "plumbing": 6, "electrical": 8, "heating": 3, "cooling": 1, "interior": 2,
        "insulation_ventilation": 1, "fireplaces": 1, "life_safety": 1,
        "appliances": 1,
    }  # fmt: skip


def test_every_kind_of_line_is_there():
    # The same table: 175 conditions are reported as deficient.
    assert Counter(d.duty for d in TX.duties) == {
        "report": 211, "operate": 5, "inspect": 2,
    }  # fmt: skip
    assert Counter((d.trigger, d.as_deficient) for d in TX.duties) == {
        ("if_found", True): 134, ("if_absent", True): 41, ("always", False): 17,
        ("if_present", False): 14, ("if_found", False): 10, ("if_absent", False): 2,
    }  # fmt: skip
    assert sum(d.basis == "breakdown" for d in TX.duties) == 3


def test_every_line_has_its_own_id_and_its_section():
    lines = [*TX.duties, *TX.exclusions]
    ids = [line.id for line in lines]

    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"TX-[A-Z]{2}-\d{3}", one) for one in ids)
    assert all(line.section.startswith("22 TAC 535.2") for line in lines)


def test_what_was_recalled_is_listed_for_the_firm_to_check():
    # 151 of the 263 lines are from memory; of the rest what is listed here.
    memory = TX.from_memory()
    lines = {d.id for d in (*TX.duties, *TX.exclusions)}

    assert sum(one in lines for one in memory) == 151
    assert set(memory) - lines == {
        "TX-S-02", "TX-S-03", "TX:attic", "TX:below_decks", "TX:deficiency",
        "TX:sharing", "TX:retention", "TX:representative",
    }  # fmt: skip
    assert "TX-EL-028" in memory
    assert "TX-PL-006" not in memory


def shown() -> Iterator[tuple[str, str]]:
    lines: tuple[Duty | Exclusion, ...] = (*TX.duties, *TX.exclusions)
    for line in lines:
        yield line.id, line.item
        yield line.id, line.text
    for duty in TX.duties:
        yield duty.id, duty.must_report_hint
        yield duty.id, duty.requires_hint
        yield from ((duty.id, answer.text) for answer in duty.answered_by)
    for one in TX.statements:
        yield one.id, one.sentence


def test_the_words_are_american_and_calm():
    wrong = re.compile(
        r"alumini|colou|storey|licence|winteris|mould\b|satisfactory|informational"
        r"|monitor|maintenance|adequate|\bsafe\b|violation|illegal|grandfather",
        re.IGNORECASE,
    )
    assert [(name, text) for name, text in shown() if wrong.search(text)] == []


def test_names_can_stand_in_a_list():
    # The report joins them with commas.
    assert [d.item for d in TX.duties if re.search(r"[,;:.]", d.item)] == []


def wheres(duty: Duty) -> list[Where]:
    lines = [*duty.answered_by, *duty.present, *duty.requires, *duty.unless]
    lines += [*duty.must_report, *duty.arises]
    return [*lines, duty.tested] if duty.tested else lines


def test_every_binding_names_what_a_visit_can_hold():
    lines = [(d.id, w) for d in TX.duties for w in wheres(d)]
    lines += [(s.id, w) for s in TX.statements for w in s.arises]
    for name, line in lines:
        named = {*line.where, *getattr(line, "needs", ())}
        named |= set(getattr(line, "fields", ()))
        assert named <= set(KINDS[line.record]), name
        for field, want in line.where.items():
            form = str(KINDS[line.record][field])
            if form.startswith("choice(["):
                allowed = set(re.findall(r"[\w/]+", form.removeprefix("choice")))
                wanted = want if isinstance(want, list) else [want]
                assert {str(w) for w in wanted} <= allowed, (name, field)


def test_every_rule_that_is_named_is_there():
    known = {*RULES.rules, *KEYS, *(one["key"] for one in BY_HAND)}
    for duty in TX.duties:
        for key in (*duty.rules, *duty.any_year):
            under = (key + ".", key + "_")
            assert key in known or any(k.startswith(under) for k in known), duty.id


def test_only_what_is_looked_for_closes_by_exception():
    closing = [d for d in TX.duties if d.exception]

    assert {d.duty for d in closing if not d.condition} == {"inspect"}
    # Trying a thing, telling a type or a reading is no look.
    tried_out = {"TX-PL-037", "TX-GA-004", "TX-AP-001", "TX-HE-003", "TX-LS-007"}
    told = {"TX-ST-001", "TX-ST-002", "TX-RO-002", "TX-PL-003", "TX-EL-027"}
    assert not {d.id for d in closing} & (tried_out | told)


# --- what the state asks beside the house ---------------------------------------


def test_what_texas_asks_beside_the_house():
    # 22 TAC 535.222(a)-(b), 535.223, 535.227, as read; memory where listed above.
    assert TX.agreement.before == "none"
    assert (TX.delivery.days, TX.delivery.unit) == (2, "days")
    assert (TX.delivery.counted_from, TX.delivery.unless_agreed) == ("payment", True)
    assert TX.summary is None
    assert TX.notices == ()
    assert [(r.word, r.kept_for) for r in TX.deficiency.reserved] == [
        ("deficient", "as_deficient")
    ]
    assert [p.id for p in TX.deficiency.parts] == ["comment"]
    assert TX.signer.contributors
    assert TX.signer.supervisors
    assert TX.each_page == ("address",)
    assert TX.retention.years is None


def test_statements_come_when_they_are_asked():
    def said(records: Records, *findings: dict[str, str]) -> list[str]:
        return [one.id for one in statements.due(TX, records, findings)]

    assert said({}) == ["TX-S-01"]
    assert said({"l": {"kind": "limit"}}) == ["TX-S-01", "TX-S-02"]
    found = {"rule": "elec.gfci.location", "passage": "elec.gfci.absent"}
    assert said({}, found) == ["TX-S-01", "TX-S-03"]
    assert all(one.sentence for one in TX.statements)


@pytest.mark.parametrize(
    ("kind", "measures", "because"),
    [
        ("under_floor", {"headroom_in": "17.5"}, "asked from 18 in"),
        ("under_floor", {"hatch_long_in": "20"}, "asked from 24 in"),
        ("under_floor", {"headroom_in": "18"}, ""),
        ("attic", {"hatch_short_in": "20", "headroom_in": "40"}, "asked from 22 in"),
        ("attic", {"headroom_in": "29"}, "asked from 30 in"),
    ],
)
def test_a_space_too_tight_need_not_be_entered(kind, measures, because):
    # Crawl spaces 535.228(a)(2)(A), read; attics 535.228(d)(2)(A), from memory.
    duty = {"under_floor": "TX-ST-013", "attic": "TX-IV-003"}[kind]
    way_in = {"kind": "way_in", "stop": "s", "space": kind, "how_known": "measured"}
    records = {
        "s": stop("Space", kind, "a", closed_at=None, method="from_hatch"),
        "w": {**way_in, **measures},
    }

    found = row(records, duty)

    assert found.state == ("not_inspected" if because else "open")
    assert because in found.text


# --- the ledger ------------------------------------------------------------------

# What the demo's records, made for another state, leave open under this one.
UNSAID = {
    "TX-GE-006", "TX-GE-008", "TX-ST-001", "TX-ST-002", "TX-RO-002", "TX-PL-001",
    "TX-PL-002", "TX-PL-004", "TX-PL-015", "TX-PL-026", "TX-PL-027", "TX-PL-028",
    "TX-PL-037", "TX-PL-042", "TX-PL-043", "TX-EL-036", "TX-EL-048",
    "TX-HE-001", "TX-HE-002", "TX-HE-003", "TX-CO-001", "TX-GA-004", "TX-LS-001",
    "TX-LS-004", "TX-AP-001", "TX-AP-002", "TX-AP-003", "TX-AP-007",
}  # fmt: skip


def test_the_demo_leaves_exactly_what_it_does_not_say():
    found = stands(walked(), found_on(walked()))

    assert {line.duty for line in found.open()} == UNSAID
    # The wide gap of the deck's guard is recorded as a measure; no rule tells it.
    hints = {line.duty: line.hint for line in found.open()}
    assert hints["TX-LS-004"].startswith("A gap that is too wide is recorded")


def test_one_reason_closes_what_is_left_open():
    because = {"kind": "limit", "reason": "utility_off", "reach": sorted(UNSAID)}
    # What a record shows is not closed by a gap: it has to be reported.
    shown_by_a_record = {"TX-LS-004"}

    found = stands({**walked(), "l": because}, found_on(walked()))

    assert {line.duty for line in found.open()} == shown_by_a_record
    assert all(r.text for r in found.rows if r.state == "not_inspected")


ANSWER = {
    "inspect": ("looked", ""),
    "operate": ("operated", ""),
    "report": ("described", "As seen."),
}


@pytest.mark.parametrize("duty", AT_A_STOP, ids=lambda d: d.id)
def test_a_person_can_answer_every_line(duty):
    said, text = ANSWER[duty.duty]
    said, text = ("looked", "") if duty.condition else (said, text)
    kinds = [one["stop_kind"] for one in walked().values() if one["kind"] == "stop"]
    records: Records = {
        f"s-{n}": stop(kind, kind, str(n), closed_at=None)
        for n, kind in enumerate(dict.fromkeys(kinds))
    }
    records["d"] = {"kind": "duty", "duty": duty.id, "answer": said, "text": text}
    records |= {f"a-{n}": record(line) for n, line in enumerate(duty.arises[:1])}

    # A count is answered where it is taken; the house has such a place.
    if duty.count:
        where = duty.count.where[0]
        kind = where["stop_kind"]
        kind = kind[0] if isinstance(kind, list) else kind
        use = where.get("room_use", "")
        use = use[0] if isinstance(use, list) else use
        records = {"s": stop("Here", kind, "a", room_use=use, **tried(2))}
        records["s"]["has_sink"] = True
        assert row(records, duty.id).state == "looked"
        return
    assert row(records, duty.id).state in ("looked", "described")


def record(line: Where) -> dict[str, Any]:
    """A record that a line speaks of."""
    fields = {}
    for name, want in line.where.items():
        value: Any = want
        if isinstance(want, list):
            value = want[0]
        elif isinstance(want, dict):
            value = want.get("min", want.get("max"))
        fields[name] = value
    return {"kind": line.record, "stop": "s", **fields}


SHOWN = [(d, line) for d in AT_A_STOP for line in d.must_report]


@pytest.mark.parametrize(("duty", "line"), SHOWN, ids=lambda v: getattr(v, "id", ""))
def test_what_a_record_shows_stays_open_until_a_finding_tells_it(duty, line):
    kind = str(duty.stops[0])
    use = duty.rooms[0] if duty.rooms else "bathroom"
    if duty.count:
        use = duty.count.where[0].get("room_use", "bathroom")
        use = use[0] if isinstance(use, list) else use
    here = stop("Here", kind, "a", room_use=use, has_sink=True, **tried(2))
    records: Records = {"s": here, "r": record(line)}
    records |= {f"a-{n}": record(w) for n, w in enumerate(duty.arises)}

    found = row(records, duty.id)

    assert (found.state, found.hint) == ("open", duty.must_report_hint)
    told = row(records, duty.id, {duty.id: [FindingRef("f", "s")]})
    assert told.state == "reported"


def test_a_condition_closes_with_the_look_and_opens_without_it():
    records = {"f": stop("Front", "outside", "a"), "r": stop("Rear", "outside", "b")}

    found = row(records, "TX-EX-007")

    assert (found.state, found.together, found.text) == ("looked", True, "")
    records["r"]["closed_at"] = None
    assert row(records, "TX-EX-007").state == "open"
    records["r"] = stop("Rear", "outside", "b", closed_struck=["TX-EX-007"])
    records["f"]["closed_struck"] = ["TX-EX-007"]
    assert row(records, "TX-EX-007").state == "open"
    assert row(records, "TX-EX-005").state == "looked"


def test_a_closing_list_names_what_was_looked_at():
    words = {d.id: closing_words(d) for d in (*TX.duties, *pack("NC").duties)}

    assert words["TX-EX-007"] == "Wall flashings and edges."
    assert words["NC-EX-002"] == "Look at the exterior flashings."


def test_a_rule_that_is_content_closes_nothing():
    """Everything recorded, no stop closed: no condition counts as looked at."""
    records = {
        key: {**one, "closed_at": None} if one["kind"] == "stop" else one
        for key, one in walked().items()
        if one["kind"] != "duty"
    }

    found = stands(records)

    assert not [r for r in found.rows if r.together]
    by_look = [d.id for d in TX.duties if d.exception and not d.present]
    open_now = {line.duty for line in found.open()}
    assert {r.duty for r in found.rows if r.duty in by_look} <= open_now


def test_a_place_that_is_not_there_has_no_conditions():
    records = {"s": stop("Bath", "room", "a", room_use="bathroom", **tried(1))}

    for duty in ("TX-GA-001", "TX-EL-029", "TX-EL-031", "TX-ST-013", "TX-IV-003"):
        assert row(records, duty).state == "not_present"
    assert row(records, "TX-EX-005").state == "not_present"
    assert row(records, "TX-PL-001").state == "open"


def test_rooms_of_one_use_are_asked_and_offered():
    records = {
        "b": stop("Bedroom", "room", "a", room_use="bedroom"),
        "k": stop("Kitchen", "room", "b", room_use="kitchen"),
    }

    def offer(at: str) -> set[str]:
        return {d.id for d in closable(TX, records, at, Scope())}

    assert {"TX-AP-006", "TX-PL-016"} <= offer("k")
    assert not {"TX-AP-006", "TX-PL-016"} & offer("b")
    assert next(o for o in stands(records).open() if o.duty == "TX-LS-001").stop == "b"


def test_a_fireplace_is_asked_of_where_one_is():
    room = stop("Den", "room", "a", room_use="family")
    here = {"kind": "observation", "stop": "s", "item": "solid_fuel"}
    seen = {**here, "what": "fireplace_here", "answer": "yes"}

    assert row({"s": room}, "TX-FI-004").state == "not_present"
    assert row({"s": room, "o": seen}, "TX-FI-004").state == "looked"
    assert row({"s": {**room, "closed_at": None}}, "TX-FI-004").state == "open"


def test_a_roof_that_was_not_walked_on_has_its_reason():
    roof = stop("Roof", "roof", "a", method="ladder_at_edge", method_reason="Wet.")

    assert row({"s": roof}, "TX-RO-001").state == "not_inspected"
    assert row({"s": roof}, "TX-RO-001").text == "Wet."
    assert row({"s": {**roof, "method": "walked"}}, "TX-RO-001").state == "looked"
    assert row({"s": {**roof, "method_reason": ""}}, "TX-RO-001").state == "open"


def test_high_pressure_asks_for_the_reducing_valve():
    reading = {"kind": "water_reading", "stop": "s", "static_psi": "92"}
    room = {"s": stop("Laundry", "room", "a", room_use="laundry")}

    calm = stands({**room, "w": {**reading, "static_psi": "80"}})
    high = {**room, "w": {**reading, "regulator": "looked_none"}}

    assert "TX-PL-007" not in {r.duty for r in calm.rows}
    assert {row(high, d).state for d in ("TX-PL-006", "TX-PL-007")} == {"open"}
    assert row(high, "TX-PL-003").text == "Static water pressure: 92 psi."
