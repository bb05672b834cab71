"""Reading rule files: what is refused, with file, line and key; what may be printed."""

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from findings.rules import loader, merging, reading
from findings.rules.rule import CONSEQUENCES, TIMINGS, TRADES
from findings.rules.yamlfile import RuleFileError, parse

RULES = loader.ruleset()
GOOD = """\
schema: 1
rules:
  - id: test.one
    version: 1
    system: electrical
    title: One
    inputs:
      amps: {kind: number, unit: A, low: 0}
    rows:
      - when: amps > 20
        outcome: defect_now
        reason: "{amps} A"
      - when: amps <= 20
        outcome: ok
        reason: fine
    source: a handbook
    provenance: found
"""


def load(tmp_path: Path, text: str) -> Any:
    folder = tmp_path / "electrical"
    folder.mkdir()
    (tmp_path / "tables").mkdir()
    (folder / "one.yaml").write_text(text)
    return loader.read(tmp_path)


def test_a_plain_rule_loads(tmp_path: Path) -> None:
    assert list(load(tmp_path, GOOD).rules) == ["test.one"]


@pytest.mark.parametrize(
    ("old", "new", "line", "key"),
    [
        ("    title: One", "    titel: One", 6, "titel"),
        ("outcome: ok", "outcome: fine", 14, "outcome"),
        ("        reason: fine", "        reasons: fine", 15, "reasons"),
        ("unit: A, low: 0", "unit: A, least: 0", 8, "least"),
        ("kind: number", "kind: nummer", 8, "kind"),
        ("when: amps > 20", "when: volts > 20", 9, "rows"),
        ("when: amps > 20", "when: amps / 20", 10, "when"),
        ("provenance: found", "provenance: guessed", 17, "provenance"),
        ("    source: a handbook\n", "", 3, "source"),
        ("schema: 1", "schema: 2", 1, "schema"),
        ("    version: 1", "    version: 1\n    id: test.two", 5, "id"),
        ("outcome: defect_now", "outcome: defect_now\n        trade: wizard", 12,
         "trade"),
        ("reason: fine", "reason: fine\n        passage: a.b\n        calendar: 1990",
         16, "passage"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_refused_with_file_line_and_key(
    tmp_path: Path, old: str, new: str, line: int, key: str
) -> None:
    with pytest.raises(RuleFileError) as error:
        load(tmp_path, GOOD.replace(old, new, 1))

    assert str(tmp_path / "electrical" / "one.yaml") in str(error.value)
    assert (error.value.line, error.value.key) == (line, key)


def test_a_file_that_is_not_yaml_names_its_line(tmp_path: Path) -> None:
    with pytest.raises(RuleFileError, match=r"one\.yaml, line [12]"):
        load(tmp_path, "schema: [1\nrules: }")


def test_numbers_stay_the_decimals_they_were_written_as() -> None:
    assert parse("a: [0.83, 4.50, 10, 1.0]", "x") == {"a": ["0.83", "4.5", 10, 1]}


def test_only_true_and_false_are_truth_values_in_our_own_files() -> None:
    assert parse("a: [yes, no, on, true]", "x") == {"a": ["yes", "no", "on", True]}
    assert parse("a: [yes, no]", "x", plain=True) == {"a": [True, False]}


def test_each_rule_names_source_and_provenance() -> None:
    for rule in RULES.rules.values():
        assert rule.source, rule.id
        assert rule.rows, rule.id
        assert rule.provenance in ("found", "mixed", "memory"), rule.id


def test_each_finding_has_consequence_timing_trade_and_a_known_passage() -> None:
    path = loader.FIXTURES / "rules" / "passage_keys.yaml"
    keys = yaml.safe_load(path.read_text())["keys"]
    for rule in RULES.rules.values():
        for row in rule.rows:
            quiet = row.outcome in ("ok", "undetermined", "informational")
            if rule.system == "dates" or (quiet and not row.passage):
                continue
            assert row.consequence in CONSEQUENCES, (rule.id, row.reason)
            assert row.timing in TIMINGS, (rule.id, row.reason)
            assert row.trade in TRADES, (rule.id, row.reason)
            assert row.passage in keys, (rule.id, row.passage)


def test_each_passage_can_have_its_blanks_filled_by_some_rule() -> None:
    path = loader.FIXTURES / "rules" / "passage_keys.yaml"
    keys = yaml.safe_load(path.read_text())["keys"]
    given: dict[str, set[str]] = {}
    for rule in RULES.rules.values():
        for row in rule.rows:
            names = set(rule.inputs) | set(rule.let) | {"place"}
            given.setdefault(row.passage, set()).update(names)
    for key, about in keys.items():
        if key == "era.note":
            continue
        assert key in given, f"no rule uses {key}"
        assert set(about["blanks"]) <= given[key], key


def test_each_blank_of_a_reason_is_an_input_or_a_value() -> None:
    for rule in RULES.rules.values():
        known = (
            set(rule.inputs) | set(rule.let) | {"edition_in_force", "governing_year"}
        )
        for row in rule.rows:
            for name in re.findall(r"\{(\w+)\}", f"{row.reason} {row.margin}"):
                assert name in known, (rule.id, name)


NEVER = re.compile(
    r"\b(maintenance|monitor|informational|needs[ _]specialist|safe|satisfactory"
    r"|adequate|inadequate|violations?|illegal|grandfathered)\b",
    re.IGNORECASE,
)
SECTION = re.compile(
    r"\b\d{2,3}[.-]\d+(\([A-Za-z0-9]+\))*|\b(NEC|IRC|NFPA|UL|IFGC)\b|§"
)


def client_words() -> list[tuple[str, str]]:
    path = loader.FIXTURES / "rules" / "passage_keys.yaml"
    keys = yaml.safe_load(path.read_text())["keys"]
    found = [(key, about["says"]) for key, about in keys.items()]
    found += [("age", words) for words in merging.AGE_NOTES.values()]
    for rule in RULES.rules.values():
        found.append((rule.id, rule.title))
        found += [(rule.id, spec.label) for spec in rule.inputs.values()]
        found += [(rule.id, words) for words in rule.cautions]
    for name in ("gfci_place", "receptacle_place", "panel_room"):
        rows = RULES.tables.by_id[name].rows
        found += [(name, str(row["words"])) for row in rows]
    return found


def test_no_client_text_holds_a_word_of_the_never_list() -> None:
    for where, words in client_words():
        assert not NEVER.search(words), (where, words)


def test_no_client_text_holds_a_section_of_a_code() -> None:
    for where, words in client_words():
        # Measurements such as 5.5 ft are no sections of a code.
        assert not SECTION.search(words), (where, words)


def test_the_never_check_itself_finds_what_it_looks_for() -> None:
    assert NEVER.search("this is a code violation")
    assert SECTION.search("see 210.8(A)")
    assert SECTION.search("the NEC says")


def test_reasons_for_the_firm_never_conclude_a_violation() -> None:
    for rule in RULES.rules.values():
        for row in rule.rows:
            assert not re.search(r"violat|illegal|grandfather|adequate", row.reason)


def test_conditions_are_readable_text_and_travel_as_arrays() -> None:
    for rule in RULES.rules.values():
        for row in rule.rows:
            assert isinstance(row.when.tree, list | bool), rule.id
            assert reading.fields(row.when.tree) <= (
                set(rule.inputs) | set(rule.let) | set(rule.derive)
                | {"governing_year", "edition_in_force"}
            )  # fmt: skip


@pytest.mark.parametrize(
    "place", ["NC", "MA", "GA", "OK", "CA", "CO", "AL", "AK", "DE"]
)
def test_each_timeline_line_has_a_source(place: str) -> None:
    timeline = loader.timeline(place)

    assert timeline is not None
    assert timeline.place == place
    assert timeline.lines
    assert all(line.source for line in timeline.lines)


def test_a_state_without_a_timeline_has_none() -> None:
    assert loader.timeline("ZZ") is None
    assert loader.timeline("../nc") is None
