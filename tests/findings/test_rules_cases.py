"""Worked cases of every rule, run as `check_cases` runs them."""

from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from findings.rules import cases, loader, yamlfile

FOLDER = Path(__file__).parent / "cases"
RULES = loader.ruleset()


def all_cases() -> list[Any]:
    found = []
    for path in sorted(FOLDER.glob("*.yaml")):
        content = yamlfile.read(path, plain=True)
        found += [pytest.param(case, id=case["id"]) for case in content["cases"]]
    return found


@pytest.mark.parametrize("case", all_cases())
def test_engine_agrees_with_the_worked_case(case: dict[str, Any]) -> None:
    result = cases.run_case(case, RULES)

    assert result.passed, f"{result.expected}\n{result.got}\n{result.why}"


def test_every_case_names_its_source_and_has_an_id_of_its_own() -> None:
    cases_ = [case.values[0] for case in all_cases()]

    assert not [case["id"] for case in cases_ if not case.get("source")]
    assert len({case["id"] for case in cases_}) == len(cases_)


def test_every_rule_has_three_cases_at_least() -> None:
    """A plain one, one at its limit, one that is excepted or not known."""
    tried = Counter(case.values[0]["rule"] for case in all_cases())

    assert not {rule: tried[rule] for rule in RULES.rules if tried[rule] < 3}
    assert sum(tried.values()) >= 380


def test_every_rule_has_a_worked_case() -> None:
    tried = {case.values[0]["rule"] for case in all_cases()}
    untried = {rule for rule in RULES.rules if rule not in tried}

    assert untried == set()


def test_a_wrong_expectation_fails_and_says_why() -> None:
    case = {
        "id": "x",
        "rule": "elec.ocpd.small_conductor",
        "inputs": {"material": "cu", "size": "12", "ocpd": 30, "load_type": "general"},
        "expected": {"outcome": "ok", "values": {"limit_A": 25}},
    }

    result = cases.run_case(case, RULES)

    assert not result.passed
    assert "outcome ok, got defect_now" in result.why
    assert "limit_A 25, got 20" in result.why


def test_a_rule_the_engine_does_not_know_is_a_failure_in_plain_words() -> None:
    result = cases.run_case({"id": "x", "rule": "roof.colour"}, RULES)

    assert not result.passed
    assert result.why == "the engine does not know the rule roof.colour yet"


def test_a_value_the_engine_does_not_give_is_listed_and_does_not_fail() -> None:
    case = {
        "id": "x",
        "rule": "elec.box.covers",
        "inputs": {"uncovered_boxes": 1},
        "expected": {"outcome": "defect_now", "values": {"colour": "red"}},
    }

    result = cases.run_case(case, RULES)

    assert result.passed
    assert result.not_given == ["colour"]


@pytest.mark.parametrize(
    ("wanted", "got", "answer"),
    [
        (100, "100.9", True),
        (100, "101.1", False),
        (23.44, "23.4375", True),
        ([10, 20], 20, True),
        ([10, 20], 21, False),
        ("4", "4", True),
        ("4/0", "4/0", True),
        (True, True, True),
        (True, False, False),
        (0, 0, True),
        (0, "0.1", False),
    ],
)
def test_values_agree_within_one_percent_and_pairs_are_ranges(
    wanted: Any, got: Any, *, answer: bool
) -> None:
    assert cases.agrees(wanted, got) is answer


HOUSE = {
    "id": "x",
    "rule": "mixed.house",
    "inputs": {
        "built_year": 1976,
        "obs": [
            {"rule": "elec.panel.openings", "inputs": {"unused_openings": 1}},
            {
                "rule": "elec.gfci.location",
                "inputs": {"location": "bathroom", "protected": False},
            },
            {
                "rule": "elec.gfci.location",
                "inputs": {
                    "location": "kitchen_counter",
                    "protected": False,
                    "alteration_year": 2008,
                },
            },
            {"rule": "elec.box.covers", "inputs": {"uncovered_boxes": 0}},
        ],
    },
}
PAIRS = [
    "elec.panel.openings:defect_now",
    "elec.gfci.location:depends_on_adoption",
    "elec.gfci.location:defect_at_construction",
]


def test_a_mixed_house_compares_a_set_of_rule_and_outcome() -> None:
    case = {**HOUSE, "expected": {"outcome": "multiple", "values": {"findings": PAIRS}}}

    assert cases.run_case(case, RULES).passed


def test_a_mixed_house_fails_when_a_pair_is_missing_or_too_many() -> None:
    short = {**HOUSE, "expected": {"outcome": "multiple", "findings": PAIRS[:2]}}
    long = {
        **HOUSE,
        "expected": {"outcome": "multiple", "list": [*PAIRS, "elec.box.covers:ok"]},
    }

    assert "not expected" in cases.run_case(short, RULES).why
    assert cases.run_case(long, RULES).passed
    wrong = {**long, "expected": {"findings": [*PAIRS, "elec.polarity:defect_now"]}}
    assert "missing ['elec.polarity:defect_now']" in cases.run_case(wrong, RULES).why


def test_a_hazard_on_an_item_silences_the_calendar_for_that_item() -> None:
    seen = [
        {
            "item": "bath receptacle",
            "rule": "elec.gfci.test",
            "inputs": {"device_button": "no_trip"},
        },
        {
            "item": "bath receptacle",
            "rule": "elec.gfci.location",
            "inputs": {"location": "bathroom", "protected": False},
        },
    ]

    pairs, unknown = cases.house({"built_year": 1950, "obs": seen}, RULES)

    assert pairs == ["elec.gfci.test:defect_now"]
    assert unknown == []


def test_a_file_that_is_no_case_file_is_refused_by_name(tmp_path: Path) -> None:
    path = tmp_path / "wrong.yaml"
    path.write_text("cases: 5\n")

    with pytest.raises(yamlfile.RuleFileError, match=r"wrong\.yaml, line 1, cases"):
        cases.run_file(path, RULES)


def test_check_cases_counts_on_its_last_line_and_fails_when_one_fails(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from django.core.management import call_command

    call_command("check_cases", str(FOLDER / "electrical.yaml"))
    assert capsys.readouterr().out.splitlines()[-1] == "113 passed, 0 failed"

    path = tmp_path / "one.yaml"
    path.write_text("cases: [{id: a, rule: no.such, expected: {outcome: ok}}]\n")
    with pytest.raises(SystemExit) as stop:
        call_command("check_cases", str(path))
    assert stop.value.code == 1
    assert capsys.readouterr().out.splitlines()[-1] == "0 passed, 1 failed"
