"""The browser runs a firm's rules as the firm decided about them."""

from __future__ import annotations

import json
import subprocess
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from findings.rules import engine, loader
from findings.rules.era import Dates
from findings.rules.package import package
from findings.rules.ruling import Ruling, leveled
from findings.rules.rulings import of_firm
from findings.selectors.rulings import kinds
from tests.findings.rulings import OWN_TEXT
from tests.findings.test_rules_both_evaluators import DRIVER, NODE, ROOT

SMALL = "elec.ocpd.small_conductor"
DECIDED = [
    Ruling("own.large", 1, "OWN", "we ask", definition=OWN_TEXT),
    Ruling(SMALL, 1, "LEVEL", "ten of these", consequence="upkeep", timing="watch"),
    Ruling("stairs.geometry", 1, "OFF", "not ours"),
]
WIRE = {"material": "cu", "size": "14", "load_type": "general"}


@pytest.mark.parametrize(
    ("rule", "inputs", "outcome"),
    [
        ("own.large", {"amps": 19}, "ok"),
        ("own.large", {"amps": 20}, "defect_now"),
        ("own.large", {}, "undetermined"),
        (SMALL, {**WIRE, "ocpd": 15}, "ok"),
        (SMALL, {**WIRE, "ocpd": 20}, "defect_now"),
    ],
)
def test_the_browser_gives_the_servers_answer_and_the_firms_level(
    tmp_path: Path, rule: str, inputs: dict[str, Any], outcome: str
) -> None:
    rules = of_firm(loader.ruleset(), DECIDED, kinds())
    here = engine.run(rules.rules[rule], inputs)
    there = in_node(tmp_path, package(rules), rule, inputs)

    assert here.outcome == there["outcome"] == outcome
    assert there["why"] == here.why
    level = leveled(here.row, rules.levels.get(rule)) if here.row else None
    assert there["consequence"] == (level.consequence if level else "")
    assert there["timing"] == (level.timing if level else "")
    if rule == SMALL and outcome == "defect_now":
        assert (there["consequence"], there["timing"]) == ("upkeep", "watch")


def in_node(tmp_path: Path, rules: dict[str, Any], rule: str, inputs: Any) -> Any:
    task = {"rule": rule, "inputs": inputs, "dates": asdict(Dates())}
    path = tmp_path / "tasks.json"
    path.write_text(json.dumps({"tasks": [task], "package": rules}))
    done = subprocess.run(
        [NODE, DRIVER, ROOT / "static/js/rules", path],
        capture_output=True,
        text=True,
        timeout=100,
        check=True,
    )
    return json.loads(done.stdout)


def test_the_package_holds_what_is_on_and_nothing_that_is_off() -> None:
    base, firms = loader.ruleset(), of_firm(loader.ruleset(), DECIDED, kinds())
    told, plain = package(firms)["rules"], package(base)["rules"]

    assert set(plain) - set(told) == {"stairs.geometry"}
    assert set(told) - set(plain) == {"own.large"}
    assert {name for name in told if told[name] != plain.get(name)} == {
        "own.large",
        SMALL,
    }
