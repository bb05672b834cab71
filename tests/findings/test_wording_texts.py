"""Levels as sentences, reading grade, differences, and the report's standing texts."""

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from findings.standards import front
from findings.wording import sentences, texts
from findings.wording.checks import check
from findings.wording.diff import changed_parts, segments, words_diff
from findings.wording.files import FIXTURES
from findings.wording.reading import grade, syllables_in
from findings.wording.words import Words

LEVELS = sentences.levels()
NEVER = {
    "maintenance",
    "monitor",
    "informational",
    "needs specialist",
    "safe",
    "satisfactory",
    "adequate",
    "violation",
    "illegal",
    "grandfathered",
}


def test_the_sentence_of_the_design_page():
    assert sentences.sentence(
        "could_hurt", "before_move_in", "electrician", "purchase"
    ) == ("Could hurt someone. Have an electrician put it right before you move in.")


@pytest.mark.parametrize("purpose", LEVELS.purposes)
@pytest.mark.parametrize("timing", LEVELS.timings)
@pytest.mark.parametrize("consequence", LEVELS.consequences)
def test_every_pair_of_levels_reads_as_a_plain_sentence(consequence, timing, purpose):
    for trade in LEVELS.trades:
        said = sentences.sentence(consequence, timing, trade, purpose)
        assert said.endswith(".")
        assert "{" not in said
        remarks = check(Words(said, "x y", "x y", "x y"))
        assert {r.kind for r in remarks} <= {"spelling", "grade"}


def test_a_seller_never_moves_in_or_closes():
    for timing in LEVELS.timings:
        said = sentences.when_text(timing, "sellers")
        assert "you close" not in said
        assert "move in" not in said


def test_an_unknown_purpose_reads_as_a_purchase_and_other_keys_are_refused():
    assert sentences.timing_label("before_close", "other") == "Before you close"
    with pytest.raises(KeyError):
        sentences.sentence("terrible", "today", "electrician", "purchase")


def test_watching_says_whom_to_call():
    said = sentences.sentence("upkeep", "watch", "plumber", "purchase")

    assert said == "Upkeep. Keep an eye on it, and call a plumber if it changes."


def test_no_label_is_a_word_that_is_never_shown():
    labels = [c.label for c in sentences.consequence_choices()]
    labels += [c.label for c in sentences.trade_choices()]
    for purpose in LEVELS.purposes:
        labels += [c.label for c in sentences.timing_choices(purpose)]

    assert not {label.lower() for label in labels} & NEVER


def test_the_keys_are_those_of_the_vocabulary_and_the_front_page():
    assert tuple(LEVELS.consequences) == front.CONSEQUENCES
    assert tuple(LEVELS.timings) == front.TIMINGS


# Kincaid, Fishburne, Rogers, Chissom (1975), "Derivation of new readability formulas":
# 0.39 * words per sentence + 11.8 * syllables per word - 15.59, worked by hand here.
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The cat sat on the mat.", 0.39 * 6 + 11.8 * 1 - 15.59),
        ("The panel is open. It has no cover.", 0.39 * 4 + 11.8 * 11 / 8 - 15.59),
        ("", 0.0),
    ],
)
def test_the_grade_is_the_published_formula(text, expected):
    assert grade(text) == pytest.approx(expected)


# Counts of syllables as a dictionary gives them.
@pytest.mark.parametrize(
    ("word", "count"),
    [
        ("wire", 1),
        ("breaker", 2),
        ("electrician", 4),
        ("receptacle", 4),
        ("aluminum", 4),
        ("grounded", 2),
        ("closed", 1),
        ("the", 1),
        ("ground-fault", 2),
    ],
)
def test_syllables_are_counted(word, count):
    assert syllables_in(word) == count


def test_a_point_inside_a_number_ends_no_sentence():
    one = grade("The gap is 4.5 in and the rail is low.")
    two = grade("The gap is 45 in and the rail is low.")

    assert one == pytest.approx(two)


@given(st.text(), st.text())
def test_a_difference_reads_back_as_both_texts(old, new):
    runs = segments(old, new)

    assert "".join(r.text for r in runs if r.op != "added") == old
    assert "".join(r.text for r in runs if r.op != "removed") == new


def test_a_changed_word_is_one_run_out_and_one_in():
    runs = segments("The breaker is 30 A.", "The breaker is 20 A.")

    assert [(r.op, r.text) for r in runs] == [
        ("same", "The breaker is "),
        ("removed", "30"),
        ("added", "20"),
        ("same", " A."),
    ]


def test_differences_are_kept_part_by_part():
    old = Words("a", "b", "c", "d")
    new = Words("a", "b <i>x</i>", "c", "")

    assert changed_parts(old, new) == ["matters", "when"]
    found = words_diff(old, new)
    assert [r.op for r in found["seen"]] == ["same"]
    assert "".join(r.text for r in found["matters"] if r.op == "added") == " <i>x</i>"
    assert [r.op for r in found["when"]] == ["removed"]


def test_an_electrical_report_has_the_general_and_its_own_cautions():
    general, electrical = texts.cautions([]), texts.cautions(["electrical"])

    assert len(electrical) > len(general) > 0
    assert any("authority" in line for line in general)
    assert any("licensed trades" in line for line in general)
    assert any("cover off an electrical panel" in line for line in electrical)


def test_standing_texts_hold_to_the_checks_they_ask_of_others():
    lines = texts.cautions(LEVELS.trades) + texts.cautions(
        ["electrical", "plumbing", "heating", "roof", "exterior", "life_safety"]
    )
    lines += [texts.older_rule("surge").text, texts.older_rule("smoke alarms").text]
    for line in lines:
        remarks = check(Words(line, "x y", "x y", "x y"))
        assert not {r.kind for r in remarks} & {"blame", "legal", "promise", "blank"}, (
            line
        )


def test_a_disclosure_is_filled_or_refused():
    assert texts.disclosure("attended", {"attended": "the client"}) == (
        "There with us for all or part of the visit: the client."
    )
    with pytest.raises(KeyError, match="attended"):
        texts.disclosure("attended")
    with pytest.raises(KeyError):
        texts.disclosure("no_such")


def dated_topics():
    """Topics of rules with a row that the calendar decides."""
    for path in sorted((FIXTURES / "rules/electrical").glob("*.yaml")):
        for rule in yaml.load(path.read_bytes(), Loader=yaml.CSafeLoader)["rules"]:
            if any("calendar" in row for row in rule.get("rows", ())):
                yield rule.get("topic") or ""


@pytest.mark.parametrize("topic", sorted(set(dated_topics()) - {""}))
def test_every_topic_that_the_calendar_decides_has_words(topic):
    assert texts.older_rule(topic) != texts.older_rule("other")


def test_an_unknown_topic_of_older_rules_reads_in_general():
    assert texts.older_rule("no_such").title == "Newer habits"
    assert texts.older_rule("surge").title == "Surge protection"


def test_the_glossary_explains_the_words_that_are_used_and_no_others():
    used = texts.terms_used(["The neutrals share a screw.", "A ground-fault device."])

    assert [t.term for t in used] == ["Ground-fault protection", "Neutral"]
    assert texts.terms_used(["neutrality"]) == []


def test_a_word_is_not_both_explained_and_replaced():
    explained = {
        name.lower() for t in texts.glossary().explained for name in (t.term, *t.also)
    }
    replaced = {
        name.lower() for t in texts.glossary().instead for name in (t.term, *t.also)
    }

    assert not explained & replaced
