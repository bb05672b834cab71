"""The library of passages: whole, plain, filled exactly, found though misspelt."""

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from findings.standards.loader import codes, pack
from findings.standards.parts import missing_parts
from findings.wording import passages
from findings.wording.blanks import fill_text
from findings.wording.checks import check
from findings.wording.files import FIXTURES, WordingDataError
from findings.wording.sentences import levels
from findings.wording.words import PARTS, Words

LIBRARY = passages.library()
KEYS = yaml.safe_load((FIXTURES / "rules/passage_keys.yaml").read_text())["keys"]


def whole(passage):
    """A passage with every blank filled, as a rule would fill it."""
    return dict.fromkeys(passages.blanks_of(passage), "3") | {"place": "Hall"}


@pytest.mark.parametrize("key", KEYS)
def test_every_key_the_rules_name_has_a_passage_with_blanks_they_fill(key):
    blanks = passages.blanks_of(LIBRARY[key])

    assert blanks <= {*KEYS[key]["blanks"], "place"}


@pytest.mark.parametrize("passage", LIBRARY.values(), ids=lambda p: p.key)
def test_a_filled_passage_has_four_parts_and_no_remark(passage):
    words = passages.fill(passage, whole(passage))

    assert all(text.strip() for _, text in words.parts())
    assert check(words) == []


@pytest.mark.parametrize("passage", LIBRARY.values(), ids=lambda p: p.key)
def test_a_passage_names_known_levels_and_begins_with_its_place(passage):
    assert passage.trade in levels().trades
    assert passage.consequence in levels().consequences
    assert passage.timing in levels().timings
    assert passage.seen.startswith("{place}: ")
    assert passage.version >= 1


@pytest.mark.parametrize("passage", LIBRARY.values(), ids=lambda p: p.key)
def test_with_only_the_place_known_what_is_missing_can_be_asked_for(passage):
    words = passages.fill(passage, {"place": "Hall"})

    assert set(passages.unfilled(words)) <= passages.blanks_of(passage)
    assert "[[" not in words.text()


def test_a_blank_takes_its_unit_and_its_plain_word():
    passage = passages.by_key("elec.ocpd.over")
    blanks = {"place": "main panel, space 14", "ocpd": "30", "size": "12"}

    words = passages.fill(passage, {**blanks, "material": "aluminium"})

    assert words.seen.startswith(
        "Main panel, space 14: the breaker or fuse is 30 A, and the wire on it is "
        "12 AWG aluminum. That wire is made for no more than {limit_A}."
    )
    assert passages.unfilled(words) == ["limit_A"]


def test_a_value_with_its_unit_stays_as_it_is():
    assert fill_text("{ocpd} and {size}", {"ocpd": "30 A", "size": "2/0"}) == (
        "30 A and 2/0 AWG"
    )


def test_a_blank_may_say_its_own_unit():
    assert fill_text("{height} or {height:in}", {"height": "7"}) == "7 ft or 7 in"
    assert fill_text("{height:in}", {}) == "{height:in}"


def blanks_from_rules():
    """Blanks that a rule fills with a measured input, with that input's unit."""
    for path in sorted((FIXTURES / "rules/electrical").glob("*.yaml")):
        for rule in yaml.load(path.read_bytes(), Loader=yaml.CSafeLoader)["rules"]:
            keys = {row.get("passage") for row in rule.get("rows", ())} - {None}
            for key in sorted(keys):
                for name, asked in (rule.get("inputs") or {}).items():
                    if name in passages.blanks_of(LIBRARY[key]) and asked.get("unit"):
                        yield key, name, asked["unit"]


@pytest.mark.parametrize(("key", "name", "unit"), sorted(set(blanks_from_rules())))
def test_a_bare_number_takes_the_unit_that_the_rule_measures_in(key, name, unit):
    words = passages.fill(LIBRARY[key], {"place": "Hall", name: "7"})

    assert f"7 {unit}" in words.text()


def test_a_clause_is_left_out_when_its_blank_has_no_value():
    text = "A panel.[[ Labeled “{label}”.]]"

    assert fill_text(text, {}) == "A panel."
    assert fill_text(text, {"label": ""}) == "A panel."
    assert fill_text(text, {"label": "Den"}) == "A panel. Labeled “Den”."


def test_a_value_is_never_read_as_a_blank_or_a_clause():
    value = "{place} [[x]] <b>bold</b>"

    assert fill_text("At {label}.", {"label": value, "place": "Hall"}) == (
        f"At {value}."
    )


@given(st.text(), st.text(min_size=1))
def test_filling_is_exact_whatever_the_value(label, place):
    filled = fill_text("X {place}|[[{label}]]|", {"place": place, "label": label})

    assert filled == f"X {place}|{label}|"


def test_markup_in_a_value_stays_literal():
    words = passages.fill_hand("<script>alert(1)</script> here", None, place="Hall")

    assert words.seen == "Hall: <script>alert(1)</script> here."


def test_how_soon_follows_timing_and_purpose():
    passage = passages.by_key("elec.panel.labels")
    blanks = {"place": "Main panel"}

    purchase = passages.fill(passage, blanks, timing="before_move_in")
    sellers = passages.fill(passage, blanks, timing="before_move_in", purpose="sellers")

    assert purchase.when == "Before you move in."
    assert sellers.when == "Before you hand over the keys."


def test_the_action_follows_the_trade():
    words = passages.fill_by_key("house.trap.drip", {"place": "Bath"}, trade="general")

    assert words.action.startswith("Have a general contractor")


@pytest.mark.parametrize("passage", LIBRARY.values(), ids=lambda p: p.key)
@pytest.mark.parametrize("purpose", ["sellers", "upkeep", "end_of_warranty"])
def test_an_owner_is_not_sent_to_the_seller_or_held_to_a_deadline(passage, purpose):
    text = passages.fill(passage, whole(passage), purpose=purpose).text()

    assert "seller" not in text
    assert "your own deadline" not in text
    assert check(passages.fill(passage, whole(passage), purpose=purpose)) == []


def test_a_variant_speaks_for_its_purpose_and_context_only():
    passage = passages.Passage(
        key="x",
        version=1,
        title="X",
        system="electrical",
        seen="{place}: a.",
        matters="b",
        action="c",
        variants=(
            passages.Variant(purposes=("sellers",), action="d"),
            passages.Variant(context={"reach": "child"}, matters="e"),
        ),
    )

    plain = passages.fill(passage, {"place": "Hall"})
    varied = passages.fill(
        passage, {"place": "Hall"}, purpose="sellers", context={"reach": "child"}
    )

    assert (plain.matters, plain.action) == ("B", "C")
    assert (varied.matters, varied.action) == ("E", "D")


def test_an_unknown_key_leaves_the_parts_to_be_written():
    words = passages.fill_by_key("no.such", {}, timing="first_year")

    assert words == Words(when="In your first year there.")
    with pytest.raises(KeyError):
        passages.by_key("no.such")


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("double tap", "elec.terminal.doubled"),
        ("loose recptacle", "hand.receptacle.loose"),
        ("lose outlet wobbly", "hand.receptacle.loose"),
        ("guter leaks", "house.gutter.leak"),
        ("driping trap", "house.trap.drip"),
        ("gfci didnt trip", "elec.gfci.no_trip"),
        ("aluminum branch", "elec.aluminium.branch"),
        ("missing cover plate", "hand.cover.missing"),
        ("toilet rocks", "house.toilet.loose"),
        ("sub panel neutral ground", "elec.bond.extra"),
        ("smoke detecter old", "elec.smoke.old"),
    ],
)
def test_a_few_words_find_the_passage_though_misspelt(typed, key):
    assert key in [hit.passage.key for hit in passages.search(typed, limit=3)]


def test_a_search_can_keep_to_one_system():
    systems = {h.passage.system for h in passages.search("drain", system="plumbing")}

    assert systems == {"plumbing"}


@pytest.mark.parametrize("typed", ["", "   ", "the of", "xylophone zebra", "{}[]"])
def test_words_that_fit_nothing_find_nothing(typed):
    assert passages.closest(typed) is None


@pytest.mark.parametrize(
    ("line", "system", "key"),
    [
        (
            (
                "Rubber collars at two plumbing vents on the rear slope are split; "
                "water can follow the pipe into the attic. No stain seen below yet."
            ),
            "roof",
            "house.roof.collar",
        ),
        (
            (
                "Kitchen sink: the trap drips at its nut when the bowl empties; "
                "cabinet floor stained and soft at the rear."
            ),
            "plumbing",
            "house.trap.drip",
        ),
        (
            (
                "Main panel: rust runs and green crust on the upper bus bars, water "
                "has come in from above."
            ),
            "electrical",
            "hand.panel.rust",
        ),
    ],
)
def test_a_whole_dictated_line_finds_its_passage(line, system, key):
    found = passages.closest(line, system=system)

    assert found is not None
    assert found.key == key


def test_a_line_about_something_else_finds_no_passage():
    line = "The seller keeps bees behind the hedge and sells the honey on Sundays."

    assert passages.closest(line) is None


def test_the_item_that_was_looked_at_decides_between_passages():
    line = "older one, wants attention"

    assert passages.closest(line, system="cooling") is None
    assert passages.closest("old unit", system="cooling", item="cooling") == (
        passages.by_key("house.cooling.old")
    )


def test_a_short_line_takes_the_passage_a_long_one_speaks_for_itself():
    found = passages.closest("gutter leak")
    long_line = "gutter over the porch leaks at two joints and sags"

    short = passages.fill_hand("gutter leak", found, place="Front")
    own = passages.fill_hand(long_line, found, place="Front")

    assert short.seen == "Front: the gutter leaks, sags or has pulled away."
    assert own.seen == f"Front: {long_line}."
    assert short.matters == own.matters != ""


def test_a_line_without_a_passage_still_says_how_soon():
    words = passages.fill_hand("odd noise", None, timing="today", trade="general")

    assert words.seen == "Odd noise."
    assert words.when == "Today, and tell the people there now."
    assert (words.matters, words.action) == ("", "")


def test_a_key_twice_is_refused(tmp_path, monkeypatch):
    line = "{key: a, version: 1, title: t, system: s, seen: s, matters: m, action: a}"
    folder = tmp_path / "passages"
    folder.mkdir()
    for name in ("one.yaml", "two.yaml"):
        (folder / name).write_text(f"schema: 1\npassages:\n- {line}\n")
    monkeypatch.setattr(passages, "FIXTURES", tmp_path)

    with pytest.raises(WordingDataError, match=r"two\.yaml: a stands there twice"):
        passages.library.__wrapped__()


def test_an_unknown_key_in_a_file_is_refused(tmp_path, monkeypatch):
    folder = tmp_path / "passages"
    folder.mkdir()
    (folder / "one.yaml").write_text("schema: 1\npassages: []\ncolour: red\n")
    monkeypatch.setattr(passages, "FIXTURES", tmp_path)

    with pytest.raises(WordingDataError, match=r"one\.yaml: .*colour"):
        passages.library.__wrapped__()


def test_the_parts_are_four():
    assert PARTS == ("seen", "matters", "action", "when")


@pytest.mark.parametrize("code", codes())
@pytest.mark.parametrize("passage", LIBRARY.values(), ids=lambda p: p.key)
def test_a_passage_has_the_parts_that_each_state_makes_compulsory(passage, code):
    assert missing_parts(pack(code), passages.fill(passage, whole(passage))) == []
