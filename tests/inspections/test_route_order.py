"""Stops moved at random: each lands where it was put, and both sides order alike."""

import json
import random
import subprocess
from pathlib import Path
from typing import Any

from playwright._impl._driver import compute_driver_executable

from findings.standards.matching import stops_by_route
from inspections.log.route import in_order

ROOT = Path(__file__).resolve().parents[2]
DRIVER = ROOT / "tests" / "support" / "route_in_node.mjs"
SEED, ROUTES, MOVES, LONGEST = 20261125, 12, 400, 40
# Keys that no move has made: none, equal, odd, out of the alphabet.
ODD = [None, "", "r00010", "r00010", "r0001", "r00010~", "R", "0", "00", "z", "~", "é"]


def routes() -> list[dict[str, Any]]:
    made = []
    for number in range(ROUTES):
        chance = random.Random(f"{SEED}/{number}")
        size = chance.randint(1, 30)
        names = [f"{chance.randrange(10**6):06d}" for _ in range(size)]
        straight = [f"r{at * 10:05d}" for at in range(1, size + 1)]
        pos = straight if number % 3 else [chance.choice(ODD) for _ in names]
        stops = [
            [name, {"kind": "stop", "pos": one}]
            for name, one in zip(names, pos, strict=True)
        ]
        # Often to the same gap: there keys grow.
        gap = chance.randrange(size)
        moves = [
            [chance.choice(names), chance.choice([gap, chance.randrange(size)])]
            for _ in range(MOVES)
        ]
        keys = sorted(set(straight) | {"d", "r00015", "v"})
        pairs = [sorted(chance.sample(keys, 2)) for _ in range(20)] if size > 1 else []
        made.append({"stops": stops, "moves": moves, "pairs": pairs})
    return made


def test_each_stop_lands_where_it_was_put_and_both_sides_order_alike(
    tmp_path: Path,
) -> None:
    tasks = routes()
    (tmp_path / "tasks.json").write_text(json.dumps(tasks))
    node, _ = compute_driver_executable()
    answer = subprocess.run(
        [node, DRIVER, ROOT / "static/js/standards", tmp_path / "tasks.json"],
        capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    lines = [json.loads(line) for line in answer.stdout.splitlines()]

    assert len(lines) == ROUTES
    for task, line in zip(tasks, lines, strict=True):
        assert line["wrong"] == []
        assert line["longest"] <= LONGEST
        begun = [rec for rec, _ in in_order(map(tuple, task["stops"]))]
        assert begun == line["begun"]
        stops = dict(line["stops"])
        assert [rec for rec, _ in in_order(stops.items())] == line["order"]
        assert [rec for rec, _ in stops_by_route(stops)] == line["order"]
        for (before, after), key in zip(task["pairs"], line["betweens"], strict=True):
            assert key is not None
            assert before < key < after
