"""The starter library: an example for each passage, words for every rule and system."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from findings.rules import loader
from findings.standards.loader import words_for_systems
from findings.wording import passages
from findings.wording.blanks import open_blanks
from findings.wording.checks import check, context_for
from findings.wording.examples import shared_examples
from findings.wording.passages import blanks_of
from findings.wording.sentences import levels
from findings.wording.shaping import remarks, shown, wanting
from findings.wording.tuning import Tuning, abouts, kept, may_be_off
from findings.wording.words import PARTS, Words

LIBRARY = passages.library()
RULES = loader.ruleset().rules
BY_HAND = {
    key: one
    for key, one in LIBRARY.items()
    if key not in {row.passage for rule in RULES.values() for row in rule.rows}
}
SENTENCE = re.compile(r"[A-Z“0-9].*[.?]", re.DOTALL)


@pytest.mark.parametrize("passage", LIBRARY.values(), ids=lambda p: p.key)
def test_each_passage_reads_whole_when_its_example_fills_it(
    passage: passages.Passage,
) -> None:
    words = shown(passage, shared_examples())

    assert not wanting(passage)
    assert not open_blanks(words.text())
    assert remarks(passage, shared_examples(), Tuning()) == []
    for part in PARTS:
        assert SENTENCE.fullmatch(words.part(part)), words.part(part)


@pytest.mark.parametrize("purpose", list(levels().purposes))
def test_each_passage_reads_whole_for_every_purpose(purpose: str) -> None:
    for passage in LIBRARY.values():
        words = shown(passage, shared_examples(), purpose=purpose)
        assert check(words) == [], passage.key


def test_every_rule_that_accuses_has_its_words() -> None:
    without = [
        rule.id
        for rule in RULES.values()
        for row in rule.rows
        if row.consequence and row.passage not in LIBRARY
    ]
    assert not without


def test_every_blank_has_an_example_and_no_example_is_left_over() -> None:
    named = {blank for one in LIBRARY.values() for blank in blanks_of(one)}
    own = {name for one in LIBRARY.values() for name in one.example}

    assert named - {"place"} - own <= set(shared_examples())
    assert set(shared_examples()) <= named


def test_every_system_has_words_for_what_is_commonly_found_by_hand() -> None:
    counts = Counter(one.system for one in BY_HAND.values())

    few = {name: counts[name] for name in words_for_systems() if counts[name] < 6}
    assert not few
    assert len(BY_HAND) >= 200


@pytest.mark.parametrize("passage", BY_HAND.values(), ids=lambda p: p.key)
def test_each_passage_is_among_those_that_its_title_finds(
    passage: passages.Passage,
) -> None:
    found = [hit.passage.key for hit in passages.search(passage.title)]

    assert passage.key in found


@pytest.mark.parametrize(
    ("line", "key"),
    [
        ("retaining wall bulges", "site.wall.leans"),
        ("termite tubes on the sill", "structure.insect.sign"),
        ("siding is lose", "exterior.siding.loose"),
        ("no kickout flashing", "roof.kick.none"),
        ("hot and cold reversed", "plumbing.hot.reversed"),
        ("furnace did not start", "heating.did_not_start"),
        ("thick soot in the flue", "fireplace.soot"),
        ("condensate pan full of water", "cooling.drain.full"),
        ("sash falls shut", "interior.window.cord"),
        ("insulaton missing in places", "insulation.missing"),
        ("garage door spring broken", "garage.spring"),
        ("dishwasher leaks", "appliance.dish.leak"),
        ("smoke alarm bracket empty", "safety.alarm.gone"),
        ("mouse droppings", "house.pest.rodent"),
    ],
)
def test_a_typed_line_of_every_system_finds_its_words(line: str, key: str) -> None:
    assert key in [hit.passage.key for hit in passages.search(line, limit=4)]


AROUND = context_for(
    places=["Kitchen"], facts=[{"label": "breaker", "value": 30, "unit": "A"}]
)


@pytest.mark.parametrize("about", abouts(), ids=lambda one: one.kind)
def test_each_check_marks_its_wrong_example_and_leaves_its_right_one(
    about: object,
) -> None:
    def kinds(text: str) -> set[str]:
        words = Words(text, "It can hurt a person.", "Have it mended.", "First year.")
        return {remark.kind for remark in check(words, AROUND)}

    assert about.kind in kinds(about.wrong)  # type: ignore[attr-defined]
    assert about.kind not in kinds(about.right)  # type: ignore[attr-defined]


def test_a_check_that_is_off_is_silent_and_what_a_release_asks_never_is() -> None:
    words = Words("Kitchen: shoddy {thing}.", "", "Have it mended.", "First year.")
    every = frozenset(one.kind for one in abouts())
    left = {remark.kind for remark in check(words, AROUND, Tuning(off=every))}

    assert left == {"missing", "blank"}
    assert every - may_be_off() == left
    assert kept([], Tuning(off=every)) == []


def test_thresholds_move_what_is_pointed_out() -> None:
    words = Words(
        "Kitchen: " + "the wire is old and " * 7 + "worn.", "It can.", "Ask.", "Soon."
    )
    loose = context_for(tuning=Tuning(longest_sentence=60))
    tight = context_for(tuning=Tuning(longest_sentence=10))

    assert "grade.sentence" not in {one.check for one in check(words, loose)}
    assert "grade.sentence" in {one.check for one in check(words, tight)}


def test_the_firms_own_words_are_spelt_right() -> None:
    words = Words("Kitchen: a quillwort stood there.", "It can.", "Ask.", "Soon.")
    own = context_for(tuning=Tuning(own_words=frozenset({"quillwort"})))

    assert "spelling" in {one.kind for one in check(words, context_for())}
    assert "spelling" not in {one.kind for one in check(words, own)}
