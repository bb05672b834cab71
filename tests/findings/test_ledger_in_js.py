"""The ledger on the phone says what the server's says, for every state's standard.

Both are our own; the outside check of either is in test_ledger_*.py.
"""

import json
import random
import subprocess
from collections import Counter
from pathlib import Path
from typing import Any

import msgspec
import playwright
import pytest

from findings.standards import loader
from findings.standards.ledger import Row, closable, index_findings, ledger
from findings.standards.package import as_json
from findings.standards.schema import Pack
from findings.standards.visit import Scope
from tests.support import random_visits

ROOT = Path(__file__).resolve().parents[2]
DRIVER = "tests/support/ledger_in_node.mjs"
NODE = Path(playwright.__file__).parent / "driver" / "node"
SEED, VISITS = 20261125, 60
CODES = loader.readable()


def kinds_of(pack: Pack) -> dict[str, int]:
    """Weigh the kinds of record by how often the standard's lines speak of them."""
    found: Counter[str] = Counter({"duty": 40, "limit": 6})
    for duty in pack.duties:
        lines = (*duty.answered_by, *duty.present, *duty.requires, *duty.must_report)
        found.update(line.record for line in (*lines, *duty.unless, *duty.arises))
        if duty.tested:
            found[duty.tested.record] += 2
    return {kind: n for kind, n in found.items() if kind not in random_visits.DULL}


def tasks_of(code: str) -> list[dict[str, Any]]:
    pack = loader.pack(code)
    duties = [duty.id for duty in pack.duties]
    made = []
    for number in range(VISITS):
        chance = random.Random(f"{SEED}/{code}/{number}")
        records = random_visits.visit(chance.randrange(10**9), kinds_of(pack), duties)
        stops = [rec for rec, one in records.items() if one["kind"] == "stop"]
        findings = [
            {
                "id": f"f{n}",
                "stop": chance.choice([*stops, ""]),
                "rule": chance.choice(
                    ["", *(rule for duty in pack.duties for rule in duty.rules)]
                ),
                "item": chance.choice([duty.item for duty in pack.duties] + [""]),
                "system": chance.choice([duty.system for duty in pack.duties]),
                "duties": chance.sample(duties, chance.choice((0, 0, 1))),
            }
            for n in range(chance.randint(0, 6))
        ]
        answered = [rec for rec, one in records.items() if one["kind"] == "duty"]
        apart = chance.sample(answered, min(1, len(answered)))
        scope = sorted(chance.sample(list(pack.systems()), 3))
        made.append(
            {
                "pack": code,
                "records": records,
                "stops": stops,
                "findings": findings,
                "scope": scope if chance.random() < 0.2 else [],
                "conflicts": [{"rec": rec, "field": "answer"} for rec in apart],
            }
        )
    return made


def row_of(row: Row) -> list[Any]:
    names = "duty stop state text together tried total findings hint said"
    found = [getattr(row, name) for name in names.split()]
    return [list(one) if isinstance(one, tuple) else one for one in found]


def ours(task: dict[str, Any]) -> dict[str, Any]:
    """What the server makes of a visit, in the shape that the phone's answer has."""
    pack = loader.pack(task["pack"])
    scope = Scope(systems=tuple(task["scope"])) if task["scope"] else Scope()
    conflicts: dict[tuple[str, str], Any] = {
        (one["rec"], one["field"]): [] for one in task["conflicts"]
    }
    index = index_findings(pack, task["findings"])
    made = ledger(pack, task["records"], index, scope, conflicts)
    return {
        "rows": [row_of(row) for row in made.rows],
        "open": [
            [line.duty, line.stop, line.place, line.hint, line.needs_feet]
            for line in made.open()
        ],
        "closes": {
            stop: [d.id for d in closable(pack, task["records"], stop, scope)]
            for stop in task["stops"]
        },
    }


@pytest.mark.parametrize("code", CODES)
def test_the_phone_and_the_server_make_the_same_ledger(code, tmp_path):
    tasks = tasks_of(code)
    said = tmp_path / "tasks.json"
    said.write_text(
        json.dumps(
            {
                "packs": {code: as_json(loader.pack(code))},
                "words": msgspec.to_builtins(loader.words_for_values()),
                "tasks": tasks,
            }
        )
    )

    answered = subprocess.run(
        [str(NODE), DRIVER, "static/js/standards", str(said)],
        cwd=ROOT, capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip

    theirs = [json.loads(line) for line in answered.stdout.splitlines()]
    assert len(theirs) == VISITS
    states: Counter[str] = Counter()
    for task, found in zip(tasks, theirs, strict=True):
        expected = ours(task)
        assert found["closes"] == expected["closes"]
        assert found["open"] == expected["open"]
        assert found["rows"] == expected["rows"]
        states.update(row[2] for row in expected["rows"])
    # The visits are not all of one kind: every state of a duty came up.
    assert {"open", "looked", "described", "not_inspected", "not_present"} <= set(
        states
    )
