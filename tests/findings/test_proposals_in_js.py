"""The phone makes of a whole visit what the server makes of it, byte for byte.

Both are our own; the outside checks of either are the worked cases in cases/.
"""

from __future__ import annotations

import json
import subprocess
from collections import Counter
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import playwright
import pytest

from findings.rules import loader
from findings.rules.package import package
from findings.rules.ruling import Ruling
from findings.rules.rulings import of_firm
from findings.rules.timelines import Timeline
from findings.rules.visit import Result, review
from findings.selectors.field.book import timeline_json
from findings.selectors.rulings import kinds
from findings.standards import loader as packs
from tests.findings import rule_visits, test_rules_kept
from tests.findings.rulings import OWN_TEXT
from tests.support import house_1978, nc_visit, whole_visits

ROOT = Path(__file__).resolve().parents[2]
DRIVER = "tests/support/proposals_in_node.mjs"
NODE = Path(playwright.__file__).parent / "driver" / "node"
SEED, VISITS, EDITS = 20261125, 120, 4
WALKS, EDITS_OF_ONE = 12, 40
SMALL = "elec.ocpd.small_conductor"
RULINGS = [
    Ruling("own.large", 1, "OWN", "we ask", definition=OWN_TEXT),
    Ruling(SMALL, 3, "LEVEL", "ten of these", consequence="upkeep", timing="watch"),
    Ruling("elec.gfci.location", 2, "LEVEL", "we are strict", trade="general"),
    Ruling("elec.box.covers", 1, "OFF", "not ours"),
    Ruling("elec.receptacle.tamper", 1, "OFF", "told by hand"),
]
STATES = ("NC", "TX", "WA", "", "Z1", "Z2", "Z3")
WRITTEN = ("NC", "TX", "WA")  # those whose standard we have
CITIES: tuple[dict[str, str], ...] = (
    {},
    {"city": "Seattle"},
    {"city": "St Clair", "county": "Orange"},
)
Step = dict[str, Any]


@cache
def rules(name: str) -> loader.Ruleset:
    book = loader.ruleset()
    return of_firm(book, RULINGS, kinds()) if name == "firm" else book


@cache
def timeline(state: str) -> Timeline | None:
    """Give a state's own lines, or some that no state has, with counties and towns."""
    if state.startswith("Z"):
        topics = sorted({one.topic for one in rules("book").rules.values()})
        return whole_visits.timeline(Random(f"{SEED}/{state}"), topics)
    return loader.timeline(state) if state else None


def here(task: Step, records: Any, conflicts: Any) -> Result:
    return review(
        records, conflicts, task["facts"], rules(task["package"]),
        timeline(task["timeline"]), task["duties"], ticked=task["ticked"],
    )  # fmt: skip


def written(found: Result) -> dict[str, Any]:
    return {
        "proposals": [one.as_dict() for one in found.proposals],
        "aside": [one.as_dict() for one in found.set_aside],
        "beside": {record: list(why) for record, why in sorted(found.beside.items())},
    }


def task_of(chance: Random) -> Step:
    state = chance.choice(STATES)
    facts: Step = {"state": state, **chance.choice(CITIES)}
    if chance.random() < 0.7:
        built = chance.choice((1931, 1968, 1978, 1999, 2012, 2020))
        facts |= {"built_from": built, "built_to": chance.choice((built, built + 6))}
    if chance.random() < 0.2:
        facts |= {"permit_date": "2009-05-14"}
    families = {"plumbing_family": "upc", "mechanical_family": "imc"}
    memory = [one.id for one in rules("book").rules.values()
              if one.provenance == "memory"]  # fmt: skip
    return {
        "facts": facts | (families if chance.random() < 0.4 else {}),
        "package": chance.choice(("book", "firm")),
        "timeline": state,
        "duties": packs.pack(state).absences() if state in WRITTEN else {},
        "ticked": chance.sample(memory, len(memory) // 2),
    }


def states_of(chance: Random, task: Step, records: Any) -> list[dict[str, Any]]:
    """Walk the visit through a few edits; give what the server makes of each."""
    wanted, changed = [], dict(records)
    task["steps"], records = [], dict(records)
    for _ in range(1 + EDITS):
        apart = whole_visits.conflicts(chance, records)
        task["steps"].append(step(changed, apart))
        found = here(task, records, apart)
        wanted.append(written(found))
        changed = whole_visits.edited(chance, records, found.proposals)
        records = {k: v for k, v in (records | changed).items() if v is not None}
    return wanted


def step(changed: Any, apart: Any) -> Step:
    return {
        "changed": changed,
        "conflicts": [
            {"rec": rec, "field": field, "values": values}
            for (rec, field), values in apart.items()
        ],
    }


def in_the_browsers_way(tmp_path: Path, tasks: list[Step]) -> list[str]:
    said = tmp_path / "tasks.json"
    said.write_text(
        json.dumps(
            {
                "packages": {name: package(rules(name)) for name in ("book", "firm")},
                "timelines": {
                    state: timeline_json(timeline(state)) for state in STATES
                },
                "tasks": tasks,
            }
        )
    )
    done = subprocess.run(
        [str(NODE), DRIVER, "static/js/rules", str(said)],
        cwd=ROOT, capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-3000:]
    return done.stdout.splitlines()


def wire(value: Any) -> str:
    """Write it so that the order of names counts too."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def same(wanted: list[dict[str, Any]], lines: list[str]) -> list[int]:
    """Hold each state against the phone's; give how many parts it worked out."""
    assert len(wanted) == len(lines)
    worked = []
    for at, (one, line) in enumerate(zip(wanted, lines, strict=True)):
        found = json.loads(line)
        worked.append(found.pop("worked"))
        found["beside"] = dict(sorted(found["beside"].items()))
        for name in ("proposals", "aside"):
            for mine, theirs in zip(one[name], found[name], strict=False):
                assert wire(theirs) == wire(mine), f"seed {SEED}, state {at}"
        assert wire(found) == wire(one), f"seed {SEED}, state {at}"
    return worked


HOUSES = {
    "the house of 1978": house_1978.records(),
    "what North Carolina's ledger asks": nc_visit.electrical(),
    "a panel fed from another": {**rule_visits.stops(), **rule_visits.fed()},
}


@pytest.mark.parametrize("name", HOUSES)
def test_the_phone_makes_the_same_of_a_known_house(name, tmp_path):
    tasks, wanted = [], []
    for state in WRITTEN:
        chance = Random(f"{SEED}/{name}/{state}")
        task = task_of(chance) | {
            "timeline": state,
            "facts": {"state": state, **house_1978.BUILT},
            "duties": packs.pack(state).absences(),
        }
        wanted += states_of(chance, task, HOUSES[name])
        tasks.append(task)

    same(wanted, in_the_browsers_way(tmp_path, tasks))
    assert any(one["proposals"] for one in wanted)


RIGHT = {"kind": "typed_right", "record": "s4", "field": "amps", "value": "200"}
BASIN = rule_visits.RECEPTACLE
TRIPS = {**BASIN, "gfci_kind": "device", "gfci_own_button_trips": "yes"}
FED = rule_visits.fed()
TWICE = FED["sub"] | {"role": "service_disconnect"}
# What is there, and what is entered then: each changes what is said of another record.
THEN: dict[str, tuple[Step, list[Step]]] = {
    "a value that is typed right": (
        {
            "panel": rule_visits.SERVICE,
            "s4": {**rule_visits.SPACE, "amps": 200, "size": "14"},
        },
        [{"right": RIGHT}, {"right": {**RIGHT, "value": "20"}}, {"right": RIGHT}],
    ),
    "a receptacle that takes another with it": (
        {"r1": TRIPS, "r2": {**BASIN, "gfci_kind": "none"}},
        [{"r1": {**TRIPS, "died_with": ["r2"]}}, {"r1": TRIPS}],
    ),
    "two first shut-offs in a row": (
        FED | {"panel": {**FED["panel"], "neutral_and_ground": "apart"}},
        [{"sub": TWICE}, {"sub": FED["sub"]}],
    ),
}


@pytest.mark.parametrize("name", THEN)
def test_what_is_entered_of_one_record_reaches_the_others(name, tmp_path):
    records, entered = THEN[name]
    records = rule_visits.stops() | records
    task = task_of(Random(SEED)) | {
        "package": "book",
        "timeline": "NC",
        "facts": rule_visits.HOUSE_1978,
        "steps": [step(records, {})],
    }
    wanted = [written(here(task, records, {}))]
    for changed in entered:
        records = records | changed
        task["steps"].append(step(changed, {}))
        wanted.append(written(here(task, records, {})))
        assert wanted[-1] != wanted[-2]

    same(wanted, in_the_browsers_way(tmp_path, [task]))


def test_whatever_is_entered_the_kept_answer_is_the_servers(tmp_path):
    tasks, wanted = [], []
    for number in range(WALKS):
        chance, records = Random(f"{SEED}/{number}"), house_1978.records()
        task = task_of(chance) | {"steps": [step(records, {})]}
        wanted.append(written(here(task, records, {})))
        for _ in range(EDITS_OF_ONE):
            before = records
            records, apart = test_rules_kept.edited(chance, before)
            gone = dict.fromkeys(before.keys() - records.keys())
            changed = {k: v for k, v in records.items() if before.get(k) != v}
            task["steps"].append(step(changed | gone, apart))
            wanted.append(written(here(task, records, apart)))
        tasks.append(task)

    same(wanted, in_the_browsers_way(tmp_path, tasks))


def test_the_phone_makes_the_same_of_random_visits(tmp_path):
    tasks, wanted = [], []
    for number in range(VISITS):
        chance = Random(f"{SEED}/{number}")
        task = task_of(chance)
        wanted += states_of(chance, task, whole_visits.visit(chance))
        tasks.append(task)

    worked = same(wanted, in_the_browsers_way(tmp_path, tasks))

    # What was entered next was worked out from what was kept, not from scratch.
    first = worked[:: 1 + EDITS]
    assert sum(worked) - sum(first) < sum(first)
    # The visits are not all of one kind: every way of speaking came up.
    said = Counter(
        name
        for state in wanted
        for one in (*state["proposals"], *state["aside"])
        for name in signs(one)
    )
    missing = {"joined", "asks", "hazard", "by_duty", "dated", "decided", "ruled",
               "contradicts", "two_values", "repeat_test", "first_shut_off",
               "estimated", "own", "typed_wrong"} - set(said)  # fmt: skip
    assert not missing


def signs(one: dict[str, Any]) -> set[str]:
    found = {
        "joined": len(one["parts"]) > 1,
        "asks": one["outcome"] == "undetermined" and one["needs"],
        "hazard": one["hazard"],
        "by_duty": one["outcome"] == "deficient_by_duty",
        "dated": one["edition"],
        "decided": one["decision"],
        "ruled": one["ruling"],
        "contradicts": one["rule"] == "facts.contradict",
        "two_values": one["rule"] == "facts.two_values",
        "repeat_test": one["rule"] == "facts.repeat_test",
        "first_shut_off": one["rule"] == "facts.first_shut_off",
        "estimated": one["why"].startswith("only estimated"),
        "own": one["rule"].startswith("own."),
        "typed_wrong": " is above " in one["why"] or " is below " in one["why"],
    }
    return {name for name, holds in found.items() if holds}


def test_a_difference_is_noticed(tmp_path):
    task = task_of(Random(SEED))
    wanted = states_of(Random(SEED), task, house_1978.records())
    lines = in_the_browsers_way(tmp_path, [task])
    same(wanted, lines)
    other = json.loads(lines[0])
    other["proposals"][0] = replace_name(other["proposals"][0])

    with pytest.raises(AssertionError):
        same(wanted, [json.dumps(other), *lines[1:]])


def replace_name(one: dict[str, Any]) -> dict[str, Any]:
    """Give the same with its names in another order."""
    return dict(reversed(one.items()))
