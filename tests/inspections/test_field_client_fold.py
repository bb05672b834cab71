"""The field client's fold in JavaScript against the shared vectors and the server's."""

import json
import random
import subprocess
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from playwright._impl._driver import compute_driver_executable

from inspections.log.fold import fold

ROOT = Path(__file__).resolve().parents[2]
CLIENT = ROOT / "static" / "js" / "field"
DRIVER = ROOT / "tests" / "support" / "field_in_node.mjs"
VECTORS = json.loads((ROOT / "fixtures/vectors/fold.json").read_text())["cases"]
SEEDS = range(40)
TIMES = [0, 1, 1_764_000_000_123, 2**48 - 1]


def said(entries: list[dict[str, Any]]) -> dict[str, Any]:
    result = fold(entries)
    return {
        "records": result.records,
        "conflicts": [
            {"rec": rec, "field": field, "values": values}
            for (rec, field), values in result.conflicts.items()
        ],
        "kindless": result.kindless,
    }


def made_up(seed: int) -> list[dict[str, Any]]:
    """Return a log of two devices that read each other now and then, shuffled."""
    chance = random.Random(seed)
    entries: list[dict[str, Any]] = []
    for number in range(chance.randint(5, 60)):
        field = chance.choice(["kind", "name", "_gone", "list"])
        seen = [
            one["id"]
            for one in entries
            if one.get("field") == field and chance.random() < 0.6
        ]
        values = [True, False, None, 1, "1", "ä", [1, {"b": 1, "a": [None]}], ""]
        entry: dict[str, Any] = {
            "id": f"{number:04d}",
            "rec": chance.choice(["r1", "r2"]),
            "field": field,
            "value": chance.choice(values),
            "seen": seen,
        }
        if chance.random() < 0.8:
            entry["v"] = number + 1
            entry["status"] = chance.choice(["ok"] * 9 + ["quarantined"])
        entries.append(entry)
        if chance.random() < 0.05:
            entries.append(
                {"id": f"x{number}", "release": chance.choice(entries)["id"]}
            )
    entries += chance.choices(entries, k=5)
    chance.shuffle(entries)
    return entries


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    tasks = tmp_path_factory.mktemp("fold") / "tasks.json"
    folds = [case["entries"] for case in VECTORS] + [made_up(seed) for seed in SEEDS]
    tasks.write_text(json.dumps({"folds": folds, "times": TIMES}))
    node = compute_driver_executable()[0]
    done = subprocess.run(
        [node, DRIVER, CLIENT, tasks], capture_output=True, text=True, check=True
    )
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_the_shared_vectors(answers: dict[str, Any]) -> None:
    wrong = [
        case["name"]
        for case, got in zip(VECTORS, answers["folds"], strict=False)
        if got != case["expected"]
    ]

    assert not wrong


def test_logs_made_up_at_random(answers: dict[str, Any]) -> None:
    got = answers["folds"][len(VECTORS) :]

    assert [json.dumps(one, sort_keys=True) for one in got] == [
        json.dumps(said(made_up(seed)), sort_keys=True) for seed in SEEDS
    ]


def test_kept_up_to_date_entry_by_entry_it_is_the_same_fold(
    answers: dict[str, Any],
) -> None:
    assert [json.dumps(one, sort_keys=True) for one in answers["standing"]] == [
        json.dumps(one, sort_keys=True) for one in answers["folds"]
    ]


def test_ids_made_on_the_device_are_of_version_7_and_hold_their_time(
    answers: dict[str, Any],
) -> None:
    found = [UUID(one) for one in answers["ids"]]

    assert [one.version for one in found] == [7] * len(TIMES)
    assert {one.variant for one in found} == {"specified in RFC 4122"}
    assert [one.int >> 80 for one in found] == TIMES
