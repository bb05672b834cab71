"""The shared vectors of the fold, which the field client's JavaScript is held to too.

Each expected result is worked out a second time here by another way of reading the
rule: entry by entry against every other, in no order.
"""

import itertools
import json
import random
from pathlib import Path
from typing import Any

import pytest

from inspections.log.fold import fold

FILE = Path(__file__).parents[2] / "fixtures" / "vectors" / "fold.json"
CASES = json.loads(FILE.read_text(encoding="utf-8"))["cases"]
IDS = [case["name"] for case in CASES]


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


def plainly(entries: list[dict[str, Any]]) -> dict[str, Any]:
    """The rule again, slowly: what is live, what nothing live has seen, what shows."""
    tops = plain_tops(entries)
    result: dict[str, Any] = {"records": {}, "conflicts": [], "kindless": []}
    for rec in sorted({e["rec"] for e in tops}):
        mine = [e for e in tops if e["rec"] == rec]
        if not plainly_gone(mine):
            plain_record(result, rec, mine)
    return result


def plain_tops(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    released = {e["release"] for e in entries if e.get("release")}
    own = [e for e in entries if not e.get("release")]
    known = {e["id"] for e in own if e.get("v") is not None}
    own = [e for e in own if e.get("v") is not None or e["id"] not in known]
    own = [e for i, e in enumerate(own) if e["id"] not in {x["id"] for x in own[:i]}]
    live = [e for e in own if e.get("status", "ok") == "ok" or e["id"] in released]
    tops = [
        e
        for e in live
        if not any(
            e["id"] in o["seen"] and (o["rec"], o["field"]) == (e["rec"], e["field"])
            for o in live
        )
    ]
    return sorted(tops, key=lambda e: (e.get("v") is None, e.get("v") or 0, e["id"]))


def plainly_gone(mine: list[dict[str, Any]]) -> bool:
    gone = [e for e in mine if e["field"] == "_gone"]
    answered = {i for e in gone for i in e["seen"]}
    return (
        bool(gone)
        and all(e["value"] is True for e in gone)
        and all(e["id"] in answered for e in mine if e["field"] != "_gone")
    )


def plain_record(result: dict[str, Any], rec: str, mine: list[dict[str, Any]]) -> None:
    record = {}
    for field in sorted({e["field"] for e in mine}):
        values: list[Any] = []
        for e in (e for e in mine if e["field"] == field):
            text = json.dumps(e["value"], sort_keys=True)
            if text not in [json.dumps(v, sort_keys=True) for v in values]:
                values.append(e["value"])
        if len(values) > 1 or (field == "_gone" and any(v is True for v in values)):
            result["conflicts"].append({"rec": rec, "field": field, "values": values})
        if field != "_gone" and values[0] is not None:
            record[field] = values[0]
    if "kind" in record:
        result["records"][rec] = record
    else:
        result["kindless"].append(rec)


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_the_fold_gives_what_the_vector_says(case: dict[str, Any]) -> None:
    # Compared as text, so that true is not 1 and the order of keys counts.
    assert json.dumps(said(case["entries"])) == json.dumps(case["expected"])


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_another_reading_of_the_rule_agrees(case: dict[str, Any]) -> None:
    assert json.dumps(plainly(case["entries"])) == json.dumps(case["expected"])


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_neither_order_nor_repeats_make_a_difference(case: dict[str, Any]) -> None:
    entries = case["entries"]
    orders = (
        [list(o) for o in itertools.permutations(entries)]
        if len(entries) <= 5
        else [random.Random(n).sample(entries, len(entries)) for n in range(40)]
    )
    for number, order in enumerate(orders):
        repeated = order + random.Random(number).choices(order, k=3) if order else []

        assert said(order) == said(repeated) == case["expected"]


def test_there_are_enough_vectors_and_each_has_its_name() -> None:
    assert len(CASES) >= 60
    assert len(set(IDS)) == len(IDS)
