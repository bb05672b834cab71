"""Blanks tied to records: the one value of a stop, on the server as on the phone."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import playwright
import pytest
from msgspec import structs

from findings.models import Finding
from findings.services import library
from findings.services.library import Written
from findings.wording.bound import values_for
from findings.wording.passages import by_key
from tests.support.cast import Cast
from tests.support.walked import walk

ROOT = Path(__file__).resolve().parents[2]
NODE = Path(playwright.__file__).parent / "driver/node"
BLANKS = ROOT / "static/js/field/core/blanks.js"
BASE = by_key("house.rail.loose")
MEASURE = {"kind": "measure", "what": "height_in", "value": "31"}
CASES: list[tuple[dict[str, str], list[dict[str, Any]], dict[str, str]]] = [
    ({"height": "measure.height_in"}, [MEASURE], {"height": "31"}),
    ({"height": "measure.height_in"}, [MEASURE, MEASURE], {"height": "31"}),
    ({"height": "measure.height_in"}, [MEASURE, MEASURE | {"value": "34"}], {}),
    ({"height": "measure.width_in"}, [MEASURE], {}),
    ({"height": "measure.height_in"}, [MEASURE | {"value": None}], {}),
    ({"amps": "space.amps"}, [{"kind": "space", "amps": 20}], {"amps": "20"}),
    ({"amps": "space.amps"}, [{"kind": "wall", "amps": 20}], {}),
    ({"amps": "space.amps"}, [{"kind": "space"}, {"kind": "space", "amps": ""}], {}),
    ({"amps": "space.amps"}, [{"kind": "space", "amps": ["20"]}], {}),
    ({}, [MEASURE], {}),
]


@pytest.mark.parametrize(("binds", "records", "filled"), CASES)
def test_one_value_fills_and_two_that_differ_are_left_to_a_person(
    binds: dict[str, str], records: list[dict[str, Any]], filled: dict[str, str]
) -> None:
    assert values_for(structs.replace(BASE, binds=binds), records) == filled


def test_the_phone_fills_the_same() -> None:
    asked = json.dumps([[records, binds] for binds, records, _ in CASES])
    script = (
        f"import {{ boundAt }} from {json.dumps(BLANKS.as_uri())};"
        f"const cases = {asked};"
        "console.log(JSON.stringify(cases.map(([r, b]) => boundAt(r, b))));"
    )
    done = subprocess.run(
        [str(NODE), "--input-type=module", "-e", script],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )

    assert json.loads(done.stdout) == [filled for _, _, filled in CASES]


@pytest.mark.django_db
def test_a_line_by_hand_takes_the_measure_of_its_stop(cast: Cast) -> None:
    walked = walk(cast)
    walked.decide("use")
    passage = structs.replace(
        BASE,
        key="own.low_rail",
        title="Low rail at the porch",
        also=("porch rail low",),
        seen="{place}: the rail is {height:in} high.",
        binds={"height": "measure.height_in"},
    )
    library.write(actor=cast.owner.actor, written=Written(passage, "ours", 0))
    library.approve(actor=cast.owner.actor, key="own.low_rail", number=1)
    stop = walked.id("s-svc")
    walked.record(
        **{
            "m-rail": {"kind": "measure", "stop": stop, "what": "height_in"}
            | {"value": "31", "unit": "in", "how_known": "measured"},
            "hand-1": {"kind": "hand_finding", "stop": stop, "line": "low porch rail"}
            | {"system": "interior"},
        }
    )
    walked.hand_in()
    made = Finding.objects.get(passage="own.low_rail")

    assert made.words is not None
    assert "the rail is 31 in high" in made.words.seen
    assert made.passage_version == "1"
