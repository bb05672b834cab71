"""A line in an inspector's own words, read into fields by the phone.

The phrases are our own choice of words: common practice, no published source.
"""

from __future__ import annotations

import json
import random
import subprocess
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from findings.selectors.field.book import _for_every_firm
from tests.support.said import line_of, names

NODE = Path(__file__).parents[1] / "support" / "lines_in_node.mjs"


def _book() -> dict[str, Any]:
    whole: dict[str, Any] = json.loads(json.dumps(_for_every_firm(), default=str))
    return {name: whole[name] for name in ("vocabulary", "labels", "lines")}


BOOK = _book()


WORKBENCH = (
    "workbench, left, hot and neutral lit, GFCI device, all three trip and reset,"
    " 46 inches above the floor"
)


def heard(lines: list[tuple[str, str]]) -> list[dict[str, Any]]:
    """Read lines with the phone's own code: [{fields, rest}, …]."""
    asked = [
        {"kind": kind, "text": text, "fields": fields_of(kind)} for kind, text in lines
    ]
    done = subprocess.run(
        ["node", str(NODE)],
        input=json.dumps({"book": BOOK, "lines": asked}),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    found: list[dict[str, Any]] = json.loads(done.stdout)
    return found


def fields_of(kind: str) -> list[str]:
    return [name for name in BOOK["vocabulary"]["kinds"][kind] if name != "stop"]


def test_every_phrase_speaks_of_fields_and_answers_that_there_are() -> None:
    for kind, told in BOOK["lines"]["kinds"].items():
        forms = BOOK["vocabulary"]["kinds"][kind]
        assert told.get("rest", "place") in forms or "rest" not in told
        for one in told["say"]:
            assert names(one), one
            for name in names(one):
                assert name in forms, f"{kind}: {one}"
            for name, value in one.get("set", {}).items():
                options = forms[name].get("options")
                values = value if isinstance(value, list) else [value]
                assert options is None or set(values) <= set(options), one


def test_a_line_fills_what_it_says() -> None:
    told = heard(
        [
            (
                "receptacle",
                WORKBENCH,
            ),
            (
                "enclosure",
                "main 200 A, bus 200, 42 spaces two columns, 4/0 aluminum read",
            ),
            ("plate", "maker Hollin & Wren, model HW-50E, serial 0611 44821"),
        ],
    )

    assert told[0] == {
        "fields": {
            "place": "workbench, left",
            "lamps": ["hot_neutral"],
            "gfci_kind": "device",
            "gfci_own_button_trips": "yes",
            "gfci_tester_trips": "yes",
            "gfci_resets": "yes",
            "reach_height_in": "46",
        },
        "rest": [],
    }
    assert told[1]["fields"] == {
        "main_amps": 200,
        "main_kind": "breaker",
        "bus_amps": 200,
        "spaces": 42,
        "columns": 2,
        "conductor_size": "4/0",
        "conductor_material": "aluminium",
        "conductor_how": "read",
    }
    assert told[2]["fields"]["serial"] == "0611 44821"


def test_what_is_not_understood_stays_in_the_box() -> None:
    told = heard(
        [
            ("enclosure", "bus 200, sounds like rain, neutral maybe joined"),
            ("enclosure", "bus 200, bus 100"),
            ("enclosure", "bus 99999"),
            ("space", "20 amps probably"),
        ],
    )

    assert told[0] == {
        "fields": {"bus_amps": 200},
        "rest": ["sounds like rain", "neutral maybe joined"],
    }
    assert told[1] == {"fields": {"bus_amps": 200}, "rest": ["bus 100"]}
    assert told[2] == {"fields": {}, "rest": ["bus 99999"]}  # more than there can be
    assert told[3] == {"fields": {}, "rest": ["20 amps probably"]}


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 10**9))
def test_what_is_said_is_what_is_read(seed: int) -> None:
    """Any few phrases with any values come back as the very same fields."""
    chance = random.Random(seed)
    wanted = []
    for kind, told in BOOK["lines"]["kinds"].items():
        entry: dict[str, Any] = {}
        for one in chance.sample(told["say"], min(5, len(told["say"]))):
            if set(names(one)) & set(entry):
                continue
            forms = {n: BOOK["vocabulary"]["kinds"][kind][n] for n in names(one)}
            if all(form["form"] != "rec" for form in forms.values()):
                entry |= {n: value_of(form, chance) for n, form in forms.items()}
                entry |= one.get("set", {})
        text, said = line_of(BOOK, kind, entry, list(entry))
        wanted.append((kind, text, {name: entry[name] for name in said}))

    told_back = heard([(kind, text) for kind, text, _ in wanted])

    for (kind, text, fields), got in zip(wanted, told_back, strict=True):
        assert got == {"fields": fields, "rest": []}, f"{kind}: {text}"


def value_of(form: dict[str, Any], chance: random.Random) -> Any:
    if "options" in form:
        return chance.choice(form["options"])
    if "min" not in form:
        return True
    whole = chance.randint(int(form["min"]), int(form["max"]))
    return whole if form["form"] == "int" else str(whole)
