"""The browser's evaluator gives the server's answers, byte for byte."""

from __future__ import annotations

import json
import os
import subprocess
from dataclasses import asdict
from pathlib import Path
from random import Random
from typing import Any

import playwright
import pytest

from findings.rules import engine, loader, yamlfile
from findings.rules.cases import IMPLIED, case_dates
from findings.rules.era import Dates
from findings.rules.evaluate import Env, compile_expression
from findings.rules.inputs import BadInput
from findings.rules.package import package
from tests.support import random_rules

ROOT = Path(__file__).parent.parent.parent
NODE = Path(playwright.__file__).parent / "driver" / "node"
DRIVER = ROOT / "tests" / "support" / "rules_in_node.mjs"
RULES = loader.ruleset()
VECTORS = [
    one
    for name in ("vectors.json", "vectors_generated.json")
    for one in json.loads((ROOT / "fixtures/rules" / name).read_text())["vectors"]
]
SEED = int(os.environ.get("RULES_SEED", "20261125"))  # noqa: TID251
EXPRESSIONS, RULE_RUNS = 3500, 1500


def in_the_browsers_way(tmp_path: Path, tasks: list[Any], *, rules: bool) -> list[str]:
    """Run every task in Node, in one process; a line for each."""
    work = {"tasks": tasks, "package": package(RULES) if rules else None}
    path = tmp_path / "tasks.json"
    path.write_text(json.dumps(work, ensure_ascii=False))
    done = subprocess.run(
        [NODE, DRIVER, ROOT / "static/js/rules", path],
        capture_output=True,
        text=True,
        timeout=100,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout.splitlines()


def wire(value: Any) -> str:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def expression_here(task: dict[str, Any]) -> str:
    env = Env(task["fields"], random_rules.tables_of(task.get("tables") or {}))
    value = compile_expression(task["expr"])(env)
    return wire({"value": value, "trace": len(env.trace)})


def rule_here(task: dict[str, Any], dates: Dates) -> str:
    rule = RULES.rules[task["rule"]]
    try:
        found = engine.run(rule, task["inputs"], dates)
    except BadInput as error:
        return wire({"wrong": str(error)})
    row = found.row
    return wire(
        {
            "rule": found.rule,
            "outcome": found.outcome,
            "values": found.values,
            "why": found.why,
            "needs": list(found.needs),
            "confirm": [list(pair) for pair in found.confirm],
            "margin": found.margin,
            "edition": found.edition,
            "certainty": found.certainty,
            "consequence": row.consequence if row else "",
            "timing": row.timing if row else "",
            "passage": row.passage if row else "",
            "trace": list(found.trace),
        }
    )


def same(here: list[str], there: list[str], tasks: list[Any]) -> None:
    assert len(here) == len(there)
    apart = [
        f"{wire(task)}\n  here  {one}\n  there {two}"
        for one, two, task in zip(here, there, tasks, strict=True)
        if one != two
    ]
    assert not apart, f"seed {SEED}: {len(apart)} differ\n" + "\n".join(apart[:5])


def test_there_are_five_hundred_shared_vectors() -> None:
    ids = [one["id"] for one in VECTORS]

    assert len(ids) >= 500
    assert len(set(ids)) == len(ids)


def test_each_vector_holds_here_and_there(tmp_path: Path) -> None:
    there = in_the_browsers_way(tmp_path, VECTORS, rules=False)

    same([expression_here(one) for one in VECTORS], there, VECTORS)
    assert [json.loads(line)["value"] for line in there] == [v["want"] for v in VECTORS]


def test_each_vector_of_a_whole_rule_holds_here_and_there(tmp_path: Path) -> None:
    """Among them every way in which two inputs contradict each other."""
    raw = json.loads((ROOT / "fixtures/rules/vectors.json").read_text())["rules"]
    tasks = [{k: one[k] for k in ("rule", "inputs")} for one in raw]
    dates = Dates()

    there = in_the_browsers_way(
        tmp_path, [task | {"dates": asdict(dates)} for task in tasks], rules=True
    )

    same([rule_here(task, dates) for task in tasks], there, tasks)
    for line, one in zip(there, raw, strict=True):
        found = json.loads(line)
        assert {name: found[name] for name in one["want"]} == one["want"], one["id"]


def worked() -> list[tuple[dict[str, Any], Dates]]:
    """Every worked case of one rule, as a task with its dates."""
    found = []
    for path in sorted((Path(__file__).parent / "cases").glob("*.yaml")):
        for case in yamlfile.read(path, plain=True)["cases"]:
            rule = RULES.rules.get(case["rule"])
            if rule is None:
                continue
            inputs = {**IMPLIED.get(rule.id, {}), **(case.get("inputs") or {})}
            try:
                dates = case_dates(inputs, rule.dates, rule.code)
            except BadInput:
                continue
            task = {"rule": rule.id, "inputs": inputs, "dates": asdict(dates)}
            found.append((task, dates))
    return found


def test_each_worked_case_comes_out_the_same(tmp_path: Path) -> None:
    cases = worked()
    tasks = [task for task, _ in cases]

    there = in_the_browsers_way(tmp_path, tasks, rules=True)

    assert len(cases) > 600
    same([rule_here(task, dates) for task, dates in cases], there, tasks)


def test_random_expressions_come_out_the_same(tmp_path: Path) -> None:
    random = Random(SEED)
    tasks = [random_rules.task(random) for _ in range(EXPRESSIONS)]

    there = in_the_browsers_way(tmp_path, tasks, rules=False)

    same([expression_here(one) for one in tasks], there, tasks)
    known = [line for line in there if '"value":null' not in line]
    assert len(known) > EXPRESSIONS / 10


def test_random_inputs_of_every_rule_come_out_the_same(tmp_path: Path) -> None:
    random = Random(SEED)
    rules = list(RULES.rules.values())
    cases = []
    for at in range(RULE_RUNS):
        rule = rules[at % len(rules)]
        inputs = random_rules.given(random, rule)
        dates = random_rules.dates(random)
        task = {"rule": rule.id, "inputs": inputs, "dates": asdict(dates)}
        cases.append((task, dates))
    tasks = [task for task, _ in cases]

    there = in_the_browsers_way(tmp_path, tasks, rules=True)

    same([rule_here(task, dates) for task, dates in cases], there, tasks)
    assert EXPRESSIONS + RULE_RUNS >= 5000


@pytest.mark.parametrize("planted", ["lt", "div"])
def test_a_wrong_evaluator_is_noticed(tmp_path: Path, planted: str) -> None:
    task = {"expr": [planted, 7, 2, 0][: 3 if planted == "lt" else 4], "fields": {}}

    (there,) = in_the_browsers_way(tmp_path, [task], rules=False)

    assert there == expression_here(task)
    wrong = there.replace("false", "true").replace("4", "3")
    with pytest.raises(AssertionError, match="differ"):
        same([expression_here(task)], [wrong], [task])
