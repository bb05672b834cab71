"""The generated reference holds every rule, and every example agrees just now."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from findings.rules import examples, loader
from findings.rules.saying import Words
from findings.selectors.rule_text import RuleText, rule_text

RULES = loader.ruleset()
NEVER = re.compile(
    r"maintenance|monitor|informational\b(?! note)|needs specialist|\bsafe\b|"
    r"satisfactory|adequate|violation|illegal|grandfathered|aluminium|colour",
    re.IGNORECASE,
)
TEXTS = [rule_text(rule, RULES) for rule in RULES.rules.values()]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> str:
    path: Path = tmp_path_factory.mktemp("book") / "reference.md"
    call_command("rules_reference", str(path))
    return path.read_text()


def test_every_rule_is_in_the_reference_with_all_that_it_says(written: str) -> None:
    missing = [
        (text.id, part)
        for text in TEXTS
        for part in (
            f"`{text.id}`, version {text.version}.",
            f"Source: {text.source}\n",
            *(row.says for row in text.rows),
            *(line.text for line in text.editions),
            *(one.label for one in text.inputs),
            *(one.why for one in text.examples),
        )
        if part not in written
    ]

    assert not missing
    assert f"{len(RULES.rules)} rules." in written
    assert written.count("\n### ") == len(RULES.rules)


@pytest.mark.parametrize("text", TEXTS, ids=lambda text: text.id)
def test_each_rule_has_examples_that_agree(text: RuleText) -> None:
    assert text.examples, (
        f"{text.id}: give it an example in fixtures/rules/examples.yaml"
    )
    wrong = [e for e in text.examples if not e.agrees]

    assert not wrong, [(e.given, e.outcome, e.expected, e.why) for e in wrong]


def test_no_example_is_of_a_rule_that_is_gone() -> None:
    assert set(examples.by_rule()) <= set(RULES.rules)


def test_nothing_of_the_never_lists_is_in_the_reference(written: str) -> None:
    # Ids and what belongs to them stand between backticks; a client sees neither.
    shown = re.sub(r"`[^`]*`", "", written)
    lines = [line for line in shown.splitlines() if NEVER.search(line)]

    assert not lines, "\n".join(lines)


def test_no_row_is_left_in_the_rules_own_notation() -> None:
    loose = [
        (text.id, row.says)
        for text in TEXTS
        for row in text.rows
        if re.search(r"[<>=\[\]{}]|\bNone\b|\bTrue\b|\bFalse\b|_", row.says)
    ]

    assert not loose


def test_an_example_that_no_longer_agrees_is_said_and_fails_the_command(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    name = "elec.ocpd.small_conductor"
    (first, *_) = examples.by_rule()[name]
    other = {**first, "expected": {"outcome": "ok"}}
    monkeypatch.setattr(examples, "by_rule", lambda: {name: (other,)})

    with pytest.raises(CommandError, match=re.escape(name)):
        call_command("rules_reference")

    assert "Does not agree: nothing to say was expected." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("tree", "says"),
    [
        (["and", ["f", "loose"], ["lt", ["f", "width"], 36]],
         "loose or broken, and width is under 36"),
        (["not", ["eq", ["f", "code_family"], "UBC"]], "family of codes is not UBC"),
        (["choose", ["known", ["f", "width"]], ["f", "width"], False], "width"),
        (["not", ["known", ["f", "width"]]], "width is not known"),
        (["in", ["f", "code_family"], ["lit", ["IRC", "UBC"]]],
         "family of codes is one of IRC, UBC"),
        (["or", ["f", "loose"], ["and", ["f", "loose"], ["f", "high_step"]]],
         "loose or broken, or (loose or broken, and high step)"),
        (["look", "small_cap", "amps", ["f", "width"]],
         "amps in the table “small cap” for width"),
        (["gt", ["add", ["f", "width"], 2], 3], "(width plus 2) is over 3"),
    ],
)  # fmt: skip
def test_conditions_read_as_sentences(tree: list[object], says: str) -> None:
    assert Words(RULES.rules["stairs.geometry"]).of(tree) == says


def test_the_command_refuses_a_broken_rule_file(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    folder = tmp_path / "rules" / "electrical"
    folder.mkdir(parents=True)
    (tmp_path / "rules" / "tables").mkdir()
    (folder / "bad.yaml").write_text("schema: 1\nrules:\n  - id: x\n    colur: 1\n")
    monkeypatch.setattr(loader, "FIXTURES", tmp_path)

    with pytest.raises(CommandError, match="line 4, colur"):
        call_command("rules_reference")
