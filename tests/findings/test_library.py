"""The firm's library: written, approved, drafted from, taken out of use."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from msgspec import structs

from findings.models import Finding, PassageApproval, PassageVersion, WordingChoice
from findings.selectors.field.book import book_of
from findings.selectors.shelf import shelf_of, tuning_of
from findings.services import library
from findings.services.library import Written
from findings.wording.passages import Variant, by_key, starter
from findings.wording.tuning import Tuning
from firm.errors import BadInput, NotAllowed
from firm.models import AuditEntry
from tests.support.cast import Cast, Person
from tests.support.walked import Walk, walk

pytestmark = pytest.mark.django_db

RAIL = "house.rail.loose"
SMALL = "elec.ocpd.over"


@pytest.fixture
def walked(cast: Cast) -> Walk:
    return walk(cast)


def at(name: str, *args: str) -> str:
    return reverse(name, args=["northside", *args])


def read(person: Person, name: str, *args: str, **asked: Any) -> str:
    response = person.client().get(at(name, *args), asked)
    assert response.status_code == 200, response.status_code
    return " ".join(response.content.decode().split())


def write(
    by: Person, key: str = RAIL, shown: int = 0, **changed: Any
) -> PassageVersion:
    base = by_key(RAIL) if key.startswith("own.") else by_key(key)
    passage = structs.replace(base, key=key, **changed)
    return library.write(
        actor=by.actor, written=Written(passage, "as we say it", shown)
    )


def approve(by: Person, key: str = RAIL, number: int = 1) -> PassageApproval:
    return library.approve(actor=by.actor, key=key, number=number)


def posted(**changed: Any) -> dict[str, Any]:
    one = by_key(RAIL)
    names = ("title", "system", "item", "trade", "consequence", "timing", "seen")
    typed = {name: getattr(one, name) for name in (*names, "matters", "action", "when")}
    return typed | {"shown": 0, "reason": "ours", "also": "", **changed}


def test_what_waits_drafts_nothing_and_what_is_approved_does(cast: Cast) -> None:
    with cast.inside():
        write(cast.ines, matters="Ours: a person can fall.")
        assert shelf_of(cast.ines.actor) is starter()

        approve(cast.reviewer)
        shelf = shelf_of(cast.ines.actor)

    assert shelf.passages[RAIL].matters == "Ours: a person can fall."
    assert shelf.version_of(RAIL) == "1"
    assert shelf.version_of(SMALL).startswith("starter ")


def test_the_newest_approved_version_counts_not_the_newest_written(cast: Cast) -> None:
    with cast.inside():
        write(cast.ines, matters="First.")
        write(cast.ines, shown=1, matters="Second.")
        write(cast.ines, shown=2, matters="Third.")
        approve(cast.owner, number=2)
        assert shelf_of(cast.owner.actor).passages[RAIL].matters == "Second."
        approve(cast.owner, number=3)
        assert shelf_of(cast.owner.actor).passages[RAIL].matters == "Third."


def test_a_proposal_drafts_from_the_firms_own_passage(walked: Walk, cast: Cast) -> None:
    drafted = {p.passage for p in walked.seen().proposals}
    key = next(iter(sorted(drafted & {SMALL} or drafted)))
    write(cast.owner, key, matters="As this firm says it.")
    approve(cast.owner, key)
    walked.decide("use")
    walked.hand_in()
    made = Finding.objects.get(passage=key)

    assert made.words is not None
    assert made.words.matters == "As this firm says it."
    assert made.passage_version == "1"


def test_a_phone_gets_the_firms_passages_in_its_book(cast: Cast) -> None:
    with cast.inside():
        before = book_of(cast.ines.actor)
        write(cast.owner, "own.odd_rail", title="An odd rail")
        approve(cast.owner, "own.odd_rail")
        after = book_of(cast.ines.actor)

    assert "own.odd_rail" not in {one["key"] for one in before["passages"]}
    assert "own.odd_rail" in {one["key"] for one in after["passages"]}
    assert before["digest"] != after["digest"]


def test_a_retired_passage_is_drafted_from_no_more(cast: Cast) -> None:
    with cast.inside():
        library.retire(actor=cast.owner.actor, key=RAIL, reason="never here", shown=0)
        shelf = shelf_of(cast.owner.actor)

        assert RAIL not in shelf.passages
        with pytest.raises(library.UnableToKeep, match="out of use already"):
            library.retire(actor=cast.owner.actor, key=RAIL, reason="again", shown=1)
        write(cast.owner, shown=1)
        approve(cast.owner, number=2)
        assert RAIL in shelf_of(cast.owner.actor).passages


def test_what_one_firm_writes_is_not_the_others(cast: Cast) -> None:
    with cast.inside():
        write(cast.owner, "own.odd_rail")
        approve(cast.owner, "own.odd_rail")
    with cast.inside(cast.elsewhere):
        assert shelf_of(cast.stranger.actor) is starter()
        client = cast.stranger.client()
        assert client.get(at("passage-read", "own.odd_rail")).status_code == 404


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"title": " "}, "title"),
        ({"seen": ""}, "seen"),
        ({"system": "stables"}, "system"),
        ({"trade": "wizard"}, "trade"),
        ({"timing": "soon"}, "timing"),
        ({"action": "[[ half"}, "action"),
        ({"matters": "x" * 3001}, "matters"),
        ({"binds": {"height": "measure.height_in"}}, "binds"),
        ({"seen": "{height}", "binds": {"height": "stars.bright"}}, "binds"),
        ({"seen": "{height}", "binds": {"height": "stop.bright"}}, "binds"),
    ],
)
def test_a_passage_that_cannot_be_used_says_which_field(
    cast: Cast, changed: dict[str, Any], field: str
) -> None:
    with cast.inside(), pytest.raises(BadInput) as refused:
        write(cast.owner, **changed)

    assert refused.value.field == field


def test_two_who_write_at_once_meet_and_neither_is_lost(cast: Cast) -> None:
    with cast.inside():
        write(cast.ines)
        with pytest.raises(library.UnableToKeep, match="meanwhile"):
            write(cast.reviewer)
    response = cast.reviewer.client().post(
        at("passage-write", RAIL), posted(matters="Mine, kept on the screen.")
    )

    assert response.status_code == 409
    assert "Mine, kept on the screen." in response.content.decode()


def test_who_may_write_and_who_may_approve(cast: Cast) -> None:
    with cast.inside():
        write(cast.ines)
        for person in (cast.ines, cast.trainee, cast.scheduler):
            with pytest.raises(NotAllowed):
                approve(person)
        with pytest.raises(NotAllowed):
            write(cast.trainee)
        approve(cast.reviewer)
        with pytest.raises(library.UnableToKeep, match="already"):
            approve(cast.owner)
    events = set(AuditEntry.objects.values_list("event", flat=True))
    assert {"passage.written", "passage.approved"} <= events


def test_a_passage_without_a_part_waits_and_an_older_one_stays_behind(
    cast: Cast,
) -> None:
    with cast.inside():
        write(cast.owner, matters="", action="")
        with pytest.raises(library.UnableToKeep, match="why it matters and what to do"):
            approve(cast.owner)
        write(cast.owner, shown=1)
        write(cast.owner, shown=2, matters="Newer.")
        approve(cast.owner, number=3)
        with pytest.raises(library.UnableToKeep, match="newer version"):
            approve(cast.owner, number=2)


def test_what_is_whole_and_without_remark_is_approved_at_once(cast: Cast) -> None:
    with cast.inside():
        write(cast.owner, "own.good")
        write(cast.owner, "own.short", matters="")
        write(cast.owner, "own.alarm", matters="This is a death trap!")
        assert library.approve_waiting(actor=cast.owner.actor) == (1, 2)
        assert set(PassageApproval.objects.values_list("key", flat=True)) == {
            "own.good"
        }


def test_versions_and_approvals_are_never_rewritten(cast: Cast) -> None:
    with cast.inside():
        row = write(cast.owner)
        mark = approve(cast.owner)
        for one in (row, mark):
            with (
                pytest.raises(Exception, match=r"append|permission"),
                transaction.atomic(),
            ):
                type(one).objects.filter(pk=one.pk).update(key="own.other")
        with pytest.raises(IntegrityError), transaction.atomic():
            PassageVersion.objects.create(
                firm=cast.northside,
                key=RAIL,
                number=1,
                content={},
                reason="again",
                author=cast.owner.member,
            )


def test_the_list_finds_misspelt_words_and_says_how_each_stands(cast: Cast) -> None:
    with cast.inside():
        write(cast.owner, title="Loose rail, our words")
        approve(cast.reviewer)
        write(cast.owner, "own.attic_odd", title="An odd thing in the attic")

    page = read(cast.ines, "passage-list", find="lose rale")
    waits = read(cast.owner, "passage-list", standing="waits")
    none = read(cast.ines, "passage-list", find="xyzzyq")

    assert page.index("Loose rail, our words") < 4000 + page.index("Find a passage")
    assert "the firm&#x27;s own, in use" in page
    assert "An odd thing in the attic" in waits
    assert "Loose rail" not in waits
    assert "1 passage waits for approval" in waits
    assert "No passage for “xyzzyq”" in none


def test_the_list_pages_through_every_passage(cast: Cast) -> None:
    first = read(cast.owner, "passage-list")
    shown = first.count("<li> <p><a href=")

    assert shown == 60
    assert "page 1 of" in first
    assert "Next page" in read(cast.owner, "passage-list", page="2")
    assert read(cast.owner, "passage-list", page="9999").count("Next page") == 0


def test_a_passages_page_is_filled_from_its_example_and_says_where_from(
    cast: Cast,
) -> None:
    page = read(cast.trainee, "passage-read", SMALL)

    assert "the breaker or fuse is 30 A, and the wire on it is 12 AWG copper" in page
    assert "by the rule “" in page
    assert "Starter, version" in page
    assert "Nothing was drafted from it yet" in page
    assert "Write it anew" not in page


def test_usage_counts_what_was_drafted_and_what_was_reworded(
    walked: Walk, cast: Cast
) -> None:
    walked.decide("use")
    walked.hand_in()
    key = Finding.objects.exclude(passage="")[0].passage

    page = read(cast.owner, "passage-read", key)

    assert "Findings drafted from it" in page
    assert "used 1" in read(cast.owner, "passage-list", find=key)


def test_words_for_a_purpose_are_shown_with_what_they_change(cast: Cast) -> None:
    variant = Variant(purposes=("sellers",), action="Ask {trade} before you list it.")
    with cast.inside():
        write(cast.owner, variants=(variant,))

    page = read(cast.owner, "passage-read", RAIL)
    # What waits is in the form; what is in use is what reads above.
    assert "Ask {trade} before you list it." in page
    assert "Other words: for someone about to sell" not in page
    with cast.inside():
        approve(cast.owner)
    assert "Other words: for someone about to sell" in read(
        cast.owner, "passage-read", RAIL
    )


def test_a_passage_is_written_through_the_page_with_a_variant(cast: Cast) -> None:
    typed = posted(
        name="odd_rail",
        binds="height: measure.height_in",
        example="height: 31",
        seen="{place}: the rail is {height:in} high.",
        **{"v0-purposes": ["sellers"], "v0-seen": "{place}: low rail.", "v1-seen": ""},
    )
    client = cast.ines.client()
    done = client.post(at("passage-new"), typed)
    row = PassageVersion.objects.get(key="own.odd_rail")

    assert done.status_code == 302
    assert row.content["binds"] == {"height": "measure.height_in"}
    assert row.content["variants"][0]["purposes"] == ["sellers"]
    assert "the rail is 31 in high" in read(cast.ines, "passage-read", "own.odd_rail")
    again = client.post(at("passage-new"), typed)
    assert again.status_code == 409


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"binds": "height measure"}, "Line 1: write the blank"),
        ({"reason": ""}, "Say why, in a few words."),
        ({"v0-seen": "Other words."}, "Say when these words hold."),
        ({"name": "Odd Rail"}, "Small letters, figures and underscores"),
    ],
)
def test_what_cannot_be_written_keeps_what_was_typed(
    cast: Cast, typed: dict[str, str], said: str
) -> None:
    sent = posted(name="odd_rail", matters="Kept on the screen.") | typed
    response = cast.owner.client().post(at("passage-new"), sent)
    page = response.content.decode()

    assert response.status_code == 400
    assert said in page
    assert "Kept on the screen." in page
    assert not PassageVersion.objects.exists()


def test_approving_and_retiring_through_the_page(cast: Cast) -> None:
    client = cast.reviewer.client()
    assert client.post(at("passage-approve", RAIL), {"number": 0}).status_code == 302
    assert "starter, approved by the firm" in read(cast.ines, "passage-read", RAIL)
    assert client.post(at("passage-approve", RAIL), {"number": 0}).status_code == 409
    assert client.post(at("passage-approve", RAIL), {"number": "x"}).status_code == 400
    gone = {"reason": "not ours", "shown": 0}
    assert client.post(at("passage-retire", RAIL), gone).status_code == 302
    assert "out of use" in read(cast.ines, "passage-read", RAIL)


def test_pages_ask_as_often_for_many_as_for_few(cast: Cast, walked: Walk) -> None:
    def asked(name: str, *args: str) -> int:
        client = cast.owner.client()
        client.get(at(name, *args))
        with CaptureQueriesContext(
            connection,
        ) as seen:
            assert client.get(at(name, *args)).status_code == 200
        return len(seen)

    before = asked("passage-list"), asked("passage-read", RAIL)
    with cast.inside():
        for number in range(40):
            write(cast.owner, f"own.rail_{number}")
            write(cast.owner, shown=number)
        library.approve_waiting(actor=cast.owner.actor)
    walked.decide("use")
    walked.hand_in()

    assert (asked("passage-list"), asked("passage-read", RAIL)) == before


def test_the_owner_tunes_the_checks_and_they_follow(cast: Cast) -> None:
    assert tuning_of(cast.owner.actor) == Tuning()
    typed = {
        "on": ["alarm", "blame"],
        "grade": "10.5",
        "longest_sentence": "40",
        "own_words": "Quillwort\nscupperette",
        "shown": 0,
    }
    client = cast.owner.client()
    assert client.post(at("wording-checks"), typed).status_code == 302
    with cast.inside():
        tuned = tuning_of(cast.ines.actor)
    assert "legal" in tuned.off
    assert "missing" not in tuned.off
    assert (tuned.grade, tuned.longest_sentence) == (10.5, 40)
    assert tuned.own_words == {"Quillwort", "scupperette"}
    assert client.post(at("wording-checks"), typed).status_code == 409
    assert WordingChoice.objects.count() == 1
    assert "switched off" in read(cast.ines, "wording-checks")
    refused = cast.reviewer.client().post(at("wording-checks"), typed | {"shown": 1})
    assert refused.status_code == 403


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"grade": "3"}, "The least that can be is 4."),
        ({"longest_sentence": "900"}, "The most that can be is 80."),
        ({"on": ["missing"]}, "Select a valid choice"),
    ],
)
def test_thresholds_have_bounds(cast: Cast, typed: dict[str, Any], said: str) -> None:
    sent = {"grade": "9", "longest_sentence": "30", "shown": 0} | typed
    response = cast.owner.client().post(at("wording-checks"), sent)

    assert response.status_code == 400
    assert said in response.content.decode()


def test_remarks_on_typed_words_come_back_and_nothing_is_kept(
    walked: Walk, cast: Cast
) -> None:
    walked.decide("use")
    walked.hand_in()
    finding = Finding.objects.all()[0]
    typed = {"seen": "This is a death trap.", "matters": "", "action": "x", "when": "y"}
    client = cast.reviewer.client()
    live = client.post(at("finding-remarks", str(finding.pk)), typed)
    page = live.content.decode()

    assert '<div data-remarks-for="seen">' in page
    assert "<q>death trap</q>" in page
    assert "Say why it matters." in page
    finding.refresh_from_db()
    assert finding.words is not None
    assert "death trap" not in finding.words.seen
    other = cast.omar.client().post(at("finding-remarks", str(finding.pk)), typed)
    assert other.status_code == 404


def test_a_switched_off_check_is_silent_beside_typed_words(cast: Cast) -> None:
    typed = {"seen": "Teh rail is lose. A death trap.", "matters": "a", "action": "b"}
    client = cast.ines.client()
    before = client.post(at("passage-remarks"), typed).content.decode()
    with cast.inside():
        off = Tuning(off=frozenset({"spelling"}), own_words=frozenset())
        library.tune(actor=cast.owner.actor, tuning=off, shown=0)
    after = client.post(at("passage-remarks"), typed).content.decode()

    assert "<q>Teh</q>" in before
    assert "<q>Teh</q>" not in after
    assert "<q>death trap</q>" in after
