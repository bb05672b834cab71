"""Every wording check, with words it points out and words it leaves alone."""

import pytest

from findings.wording.checks import check, context_for
from findings.wording.context import Context
from findings.wording.phrases import phrases
from findings.wording.words import Words

WHOLE = Words(
    seen="Main panel, space 14: two wires are held by one screw of a breaker.",
    matters="A screw made for one wire can hold two of them badly.",
    action="Have an electrician give each wire its own place.",
    when="Before you move in.",
)


def seen(text, around=None):
    words = Words(text, WHOLE.matters, WHOLE.action, WHOLE.when)
    return check(words, around)


def kinds(remarks):
    return {remark.kind for remark in remarks}


def marked(text, kind, around=None):
    """The runs of a text that a kind of remark stands at."""
    return [text[r.start : r.end] for r in seen(text, around) if r.kind == kind]


def test_whole_plain_words_have_no_remark():
    assert check(WHOLE) == []


@pytest.mark.parametrize("part", ["seen", "matters", "action", "when"])
def test_an_empty_part_is_missed_where_it_belongs(part):
    fields = {n: WHOLE.part(n) for n in ("seen", "matters", "action", "when")}
    remarks = check(Words(**{**fields, part: "  "}))

    assert [(r.part, r.kind) for r in remarks] == [(part, "missing")]


def test_a_blank_that_stands_is_shown_by_name():
    remarks = seen("Main panel: the breaker is {limit_A} here.")

    (remark,) = [r for r in remarks if r.kind == "blank"]
    assert remark.message == "Fill in: limit A."


def test_braces_that_are_no_blank_are_left_alone():
    assert "blank" not in kinds(seen("A {} b {1} c { d }."))


@pytest.mark.parametrize(
    "phrase", [p for p, _ in phrases()], ids=[p.id for p, _ in phrases()]
)
def test_each_phrase_is_caught_by_its_wrong_example_only(phrase):
    assert phrase.id in {r.check for r in seen(phrase.wrong)}
    assert phrase.id not in {r.check for r in seen(phrase.right)}
    assert phrase.kind in kinds(seen(phrase.wrong))


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("The panel is grandfathered.", "legal"),
        ("This is illegal.", "legal"),
        ("This violates the rules.", "legal"),
        ("The wiring is not up to code.", "legal"),
        ("See IRC E3902 for this.", "legal"),
        ("The seller must repair it.", "legal"),
        ("The roof is satisfactory.", "promise"),
        ("The service is adequate.", "promise"),
        ("The deck is safe.", "promise"),
        ("It has about 5 years left.", "promise"),
        ("The fix costs around $250.", "promise"),
        ("A deadly fault.", "alarm"),
        ("Repair it immediately.", "alarm"),
        ("Look out!", "alarm"),
        ("The builder failed to seal it.", "blame"),
        ("Shoddy wiring.", "blame"),
    ],
)
def test_words_of_the_never_list_and_their_kin_are_pointed_out(text, kind):
    assert kind in kinds(seen(text))


@pytest.mark.parametrize(
    "text",
    [
        "The safety switch did not turn.",
        "An unsafely is no word of ours but safes are boxes.",
        "The combination code of the door was not known.",
        "A zip code stands on the label.",
        "The seller said that the roof was laid in 2004.",
        "The builder's plate stands on the wall.",
        "Water lasted until noon.",
    ],
)
def test_plain_words_that_look_alike_are_left_alone(text):
    assert not kinds(seen(text)) & {"alarm", "blame", "legal", "promise"}


def test_a_remark_stands_exactly_at_its_words():
    text = "Kitchen: this is illegal, they say."

    assert marked(text, "legal") == ["illegal"]


PLACES = Context(places=("Kitchen", "Left bedroom", "Outside loop", "Garage"))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Attic: a box has no cover.", ["Attic"]),
        ("The hall bathroom has none.", ["hall", "bathroom"]),
        ("Kitchen: a plate is missing.", []),
        ("Bedroom: a plate is missing.", []),
        ("Deck: a board is soft.", []),
        ("Behind the bathtub.", []),
    ],
)
def test_a_place_that_is_not_on_the_visit_is_pointed_out(text, found):
    assert marked(text, "place", PLACES) == found


def test_places_are_silent_where_none_are_known_or_in_general_words():
    assert "place" not in kinds(seen("Attic: a box has no cover."))
    general = Words(WHOLE.seen, "In an attic nobody sees it.", WHOLE.action, WHOLE.when)
    assert "place" not in kinds(check(general, PLACES))


FACTS = context_for(
    facts=[
        {"label": "breaker", "value": 30, "unit": "A"},
        {"label": "size", "value": "12", "unit": "AWG"},
        {"label": "gap", "value": "64.5", "unit": "in"},
    ],
    blanks={"limit_A": "20 A"},
)


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("The breaker is 30 A on 12 AWG wire.", []),
        ("The breaker is 40 A on 12 AWG wire.", ["40 A"]),
        ("The breaker is 30 A on 10 AWG wire.", ["10 AWG"]),
        ("The wire is made for 20 A.", []),
        ("The gap is 64 1/2 in.", []),
        ("The gap is 5 ft.", []),
        ("The gap is 65 in.", []),
        ("The gap is 70 in.", ["70 in"]),
        ("A 30-amp breaker was seen.", []),
        ("A 50-amp breaker was seen.", ["50-amp"]),
        ("There are 120 volts.", []),
        ("Two of 40 spaces were read in 2026.", []),
    ],
)
def test_a_number_that_no_record_has_is_pointed_out(text, wrong):
    assert marked(text, "number", FACTS) == wrong


def test_the_remark_on_a_number_says_what_the_record_has():
    (remark,) = [r for r in seen("A 40 A breaker.", FACTS) if r.kind == "number"]

    assert remark.message == "The record has 30 A; these words have another number."


def test_large_wire_sizes_are_not_small_ones():
    around = context_for(facts=[{"label": "s", "value": "2/0", "unit": "AWG"}])

    assert marked("The wires are 2/0 AWG.", "number", around) == []
    assert marked("The wires are 4/0 AWG.", "number", around) == ["4/0 AWG"]
    assert marked("The wires are 2 AWG.", "number", around) == ["2 AWG"]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("A 20A breaker.", ["20A"]),
        ("About 120v here.", ["120v"]),
        ("A gap of 5' was seen.", ["5'"]),
        ('A gap of 5 1/2" was seen.', ['5 1/2"']),
        ("Water at 130 degrees.", ["130 degrees"]),
        ("Water at 130 °F.", []),
        ("A gap of 12 cm.", ["12 cm"]),
        ("A 20 A breaker, 120 V, 5 ft 2 in.", []),
        ("The circuit “Den 3” is off.", []),
    ],
)
def test_units_are_written_one_way(text, found):
    assert marked(text, "unit") == found


def test_metric_is_left_alone_where_it_was_asked_for():
    assert marked("A gap of 12 cm.", "unit", Context(metric=True)) == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("A double tap in the panel.", ["double tap"]),
        ("Romex in the attic.", ["Romex"]),
        ("The GFCI is old.", []),  # the glossary explains it
        ("The SPD is old.", ["SPD"]),
        ("A surge protector (SPD); the SPD is old.", []),
        ("The tub has a TV beside it.", []),
        ("The neutral is loose.", []),
        ("An open ground (no ground was found).", []),
    ],
)
def test_jargon_wants_plain_words_or_an_explanation(text, found):
    assert marked(text, "jargon") == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("The recepticle is lose.", ["recepticle"]),
        ("The soffit and the downspouts leak.", []),
        ("Space 14B of panel XR-200 was read.", []),
        ("The owner, Mrs Brandvold, was there.", []),
        ("The panel's cover isn't tight.", []),
        ("Teh cover is off.", ["Teh"]),
    ],
)
def test_spelling_knows_the_trade_and_leaves_names_alone(text, found):
    assert marked(text, "spelling") == found


def test_spelling_offers_a_better_word_and_takes_the_firms_names():
    (remark,) = [r for r in seen("The wirse are old.") if r.kind == "spelling"]

    assert "“wires”?" in remark.message or "?" in remark.message
    around = Context(names=frozenset({"Quillwort"}))
    assert marked("Quillwort is the street.", "spelling", around) == []


LONG = (
    "Notwithstanding considerable difficulties encountered during examination, the "
    "distribution equipment demonstrated characteristics consistent with insufficient "
    "consideration of manufacturers' installation documentation, necessitating "
    "comprehensive professional evaluation."
)


def test_words_that_read_hard_are_pointed_out_at_the_hardest_part():
    remarks = [r for r in seen(LONG) if r.check == "grade.words"]

    assert [(r.part, r.kind, r.end) for r in remarks] == [("seen", "grade", len(LONG))]


def test_a_sentence_that_runs_on_is_pointed_out():
    text = "The panel is here and " + "it has one more wire and " * 6 + "that is all."

    assert "grade.sentence" in {r.check for r in seen(text)}


def test_remarks_come_in_the_order_they_are_read():
    words = Words("It is illegal, and safe enough, and illegal.", "", "", "")
    remarks = check(words)

    assert [r.part for r in remarks][-3:] == ["matters", "action", "when"]
    assert [r.start for r in remarks if r.part == "seen"] == sorted(
        r.start for r in remarks if r.part == "seen"
    )


def test_markup_is_text_like_any_other():
    remarks = seen("<b>Kitchen</b>: a plate is missing & loose.")

    assert not kinds(remarks) & {"blank", "number", "unit", "legal"}
