"""The invented visit is whole: every word of it fits the vocabulary and the pack."""

import hashlib
import re
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from findings.imaging import exif, marks
from findings.rules import loader, visit
from findings.standards.ledger import index_findings, ledger
from findings.standards.loader import pack
from inspections.log import vocabulary
from reports.demo import choices, illustrations, script, story
from reports.demo.drawing import sheet

ROOT = Path(__file__).resolve().parents[2]
VISIT = UUID("01930000-0000-7000-8000-000000000001")
ARRIVAL = datetime.fromisoformat("2026-11-23T08:20:00-05:00")


pytestmark = pytest.mark.slow  # the drawings of one visit take some seconds


@cache
def written() -> script.Script:
    return script.write(
        run="one", visit=VISIT, starts_at=ARRIVAL, zone="America/New_York"
    )


@cache
def folded() -> dict[str, dict[str, Any]]:
    return written().folded()


def of_kind(kind: str) -> dict[str, dict[str, Any]]:
    return {i: r for i, r in folded().items() if r["kind"] == kind}


def test_every_mutation_fits_the_vocabulary() -> None:
    known = vocabulary.load(ROOT / "fixtures" / "vocabulary" / "records.yaml")
    kinds = {rec: record["kind"] for rec, record in folded().items()}

    problems = [
        (m.rec, problem)
        for m in written().mutations()
        if (problem := known.check(kinds[m.rec], m.field, m.value, known.schema))
    ]

    assert problems == []


def test_the_kind_of_a_record_is_sent_before_its_other_fields() -> None:
    seen: set[str] = set()
    for mutation in written().mutations():
        assert mutation.field == "kind" or mutation.rec in seen
        seen.add(mutation.rec)


def test_ids_are_uuid7_the_same_for_a_run_and_new_for_the_next() -> None:
    again = script.write(
        run="one", visit=VISIT, starts_at=ARRIVAL, zone="America/New_York"
    )

    assert list(again.mutations()) == list(written().mutations())
    assert {UUID(i).version for i in written().ids.values()} == {7}
    other = script.record_id("two", "@kitchen", ARRIVAL)
    assert other != written().ids["@kitchen"]
    assert UUID(other).version == 7


def test_what_records_point_at_exists_and_is_of_the_right_kind() -> None:
    known = vocabulary.load(ROOT / "fixtures" / "vocabulary" / "records.yaml")
    for record in folded().values():
        for name, value in record.items():
            form = known.kinds[record["kind"]].get(name)
            if form is not None and form.name in ("rec", "recs"):
                for rec in value if isinstance(value, list) else [value]:
                    assert folded()[rec]["kind"] == form.args[0], (name, value)


def test_time_runs_forward_and_the_walk_takes_a_morning() -> None:
    moments = [m.at for m in written().mutations()]

    assert moments == sorted(moments)
    assert timedelta(hours=3) < moments[-1] - moments[0] < timedelta(hours=5)
    positions = [stop["pos"] for stop in story.stops()]
    assert positions == sorted(positions)


def test_photos_carry_their_own_digest_and_some_are_turned_with_a_place() -> None:
    photos = list(written().photos())
    records = of_kind("photo")

    assert 60 <= len(photos) <= 90
    assert len({photo.sha256 for photo in photos}) == len(photos)
    for photo in photos:
        assert hashlib.sha256(photo.data).hexdigest() == photo.sha256
        assert records[photo.rec]["sha256"] == photo.sha256
        assert records[photo.rec]["size"] == len(photo.data)
    turned = [c for p in photos if (c := exif.read(p.data)).orientation == 6]
    assert len(turned) >= 3
    assert all(capture.has_gps for capture in turned)


def test_every_mark_can_be_drawn() -> None:
    for mark in of_kind("mark").values():
        fields = {k: v for k, v in mark.items() if k not in ("kind", "photo")}
        assert marks.parse([fields])


def test_the_house_is_the_one_of_the_plan() -> None:
    stops = of_kind("stop").values()
    spaces = of_kind("space").values()
    enclosures = of_kind("enclosure")

    assert sum(stop.get("receptacles_seen", 0) for stop in stops) == 44
    assert sum(1 for stop in stops if stop["stop_kind"] == "room") == 13
    assert sorted(e["spaces"] for e in enclosures.values()) == [12, 42]
    for rec, enclosure in enclosures.items():
        mine = [space for space in spaces if space["enclosure"] == rec]
        covered = [
            number
            for space in mine
            for number in range(
                space["number"], space["number"] + 2 * space.get("poles", 1), 2
            )
        ]
        assert sorted(covered) == list(range(1, enclosure["spaces"] + 1))


def test_every_duty_of_the_pack_has_an_answer_once_the_findings_exist() -> None:
    state = pack("NC")
    by_hand = [{"id": i, **r} for i, r in of_kind("hand_finding").items()]
    # Two duties must be reported by what the rules find: boxes and the open space.
    by_rule = [
        {"id": "boxes", "rule": "elec.box.covers"},
        {"id": "opening", "rule": "elec.panel.openings"},
    ]

    result = ledger(state, folded(), index_findings(state, [*by_hand, *by_rule]))

    assert result.open() == ()
    states = {row.state for row in result.rows}
    assert states >= {"looked", "reported", "described", "not_inspected", "not_present"}


def test_nothing_in_the_story_uses_a_word_that_is_never_shown() -> None:
    never = re.compile(
        r"\b(maintenance|monitor|informational|needs specialist|safe|satisfactory|"
        r"adequate|violation|illegal|grandfathered)\b",
        re.IGNORECASE,
    )
    for path in (ROOT / "fixtures" / "demo").rglob("*.*"):
        found = never.search(path.read_text(encoding="utf-8"))
        assert found is None, f"{path.name}: {found}"


def test_people_and_numbers_are_plainly_invented() -> None:
    firm = story.firm()
    people = [*firm["people"], *firm["contacts"], firm["firm"]]

    for person in people:
        assert re.fullmatch(r"252-555-01\d\d", person["phone"])
        assert re.search(r"@(\w+\.)?example\.(com|net)$", person["email"])


def test_choices_answer_every_proposal_and_name_what_they_missed() -> None:
    ids = written().ids
    proposals = [
        {
            "key": "a",
            "rule": "elec.ocpd.small_conductor",
            "subject": ids["@panel_main/13"],
        },
        {"key": "b", "rule": "elec.gfci.test", "subject": ids["@rc_kitchen_1"]},
    ]

    chosen = choices.decide(written(), proposals, run="one", at=ARRIVAL)

    fields = {(m.rec, m.field): m.value for m in chosen.mutations}
    picked = [value for (_, name), value in fields.items() if name == "choice"]
    assert picked == ["change", "use"]
    assert "elec.ocpd @panel_main/13" not in chosen.unmet
    assert len(chosen.unmet) == len(story.decisions()) - 1


def proposed() -> list[dict[str, Any]]:
    house = {"state": "NC", "built_from": 1994, "built_to": 1994}
    found = visit.proposals(
        folded(),
        {},
        house,
        loader.ruleset(),
        loader.timeline("nc"),
        ticked=story.firm()["ticked_rules"]["rules"],
    )
    return [proposal.as_dict() for proposal in found]


def test_the_rules_find_what_the_story_planted() -> None:
    ids = {rec: label for label, rec in written().ids.items()}
    found = {(p["rule"], ids[subject]) for p in proposed() for subject in p["subjects"]}

    assert found >= {
        ("elec.ocpd.small_conductor", "@panel_main/13"),
        ("elec.terminal.double_tap_breaker", "@panel_main/20"),
        ("elec.hvac.nameplate", "@panel_main/1"),
        ("elec.panel.openings", "@panel_main"),
        ("elec.bond.main_vs_sub", "@panel_garage"),
        ("elec.aluminium.paste", "@panel_garage"),
        ("elec.tester.decode", "@rc_bed2"),
        ("elec.tester.decode", "@rc_garage_2"),
        ("elec.tester.decode", "@rc_bath_half"),
        ("elec.gfci.test", "@rc_kitchen_1"),
        ("elec.receptacle.island", "@wall_island"),
        ("elec.receptacle.spacing", "@wall_living"),
        ("elec.box.covers", "@bx_attic_1"),
        ("elec.box.covers", "@bx_splice"),
        ("elec.receptacle.cover_plate", "@bx_switch"),
        ("elec.smoke.location", "@visit"),
        ("elec.co.location", "@visit"),
    }
    assert not any(p["firm_only"] for p in proposed() if p["hazard"])


def test_every_decision_of_the_story_meets_its_proposal() -> None:
    chosen = choices.decide(written(), proposed(), run="one", at=ARRIVAL)

    assert chosen.unmet == ()
    picked = [m.value for m in chosen.mutations if m.field == "choice"]
    assert set(picked) == {"use", "change", "not_here"}
    kept = len(picked) - picked.count("not_here") + len(of_kind("hand_finding"))
    assert 35 <= kept <= 50


@pytest.mark.parametrize("name", illustrations.names()[::16])
def test_a_drawing_is_the_same_each_time_and_says_what_it_is(name: str) -> None:
    drawn = sheet.DRAWINGS[name]

    assert drawn(3).tobytes() == drawn(3).tobytes()
    assert drawn(3).size == (1600, 1200)
    assert drawn.caption


def test_the_script_uses_only_drawings_that_exist() -> None:
    used = {
        entry["draw"]
        for stop in story.stops()
        for entry in stop["log"]
        if "draw" in entry
    }

    assert used <= set(illustrations.names())
    assert len(used) >= 60
