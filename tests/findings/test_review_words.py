"""Words, changes of substance, notes and passing them, from the outside."""

from typing import Any

import pytest
from django.urls import reverse

from findings.models import Finding, ReviewNote, Revision, SignOff, SubstanceChange
from findings.selectors.objections import words_of
from findings.services import review
from inspections.models import Visit
from tests.support.cast import Cast
from tests.support.reviewed import (
    at,
    by_hand,
    by_rule,
    check,
    handed_in,
    rewrite,
    whole,
    words_form,
)
from tests.support.walked import NOW, Walk, space, walk

pytestmark = pytest.mark.django_db

CHANGE = {"timing": "before_close", "reason": "Rain is near.", "change_asked_by": "OWN"}


def ask(walked: Walk, finding: Finding, **typed: str) -> Any:
    client = walked.cast.reviewer.client()
    return client.post(at("finding-change", finding), {**CHANGE, **typed})


def now(finding: Finding) -> Finding:
    rows = Finding.objects.select_related("words", "visit")
    return rows.get(pk=finding.pk)


def test_a_change_of_words_says_who_asked(cast: Cast) -> None:
    one = by_hand(handed_in(cast))

    response = rewrite(cast.reviewer, one, seen="It rubs.", asked_by="CLIENT")

    assert response.status_code == 302
    words = now(one).words
    assert words is not None
    assert (words.number, words.seen, words.asked_by) == (2, "It rubs.", "CLIENT")
    assert words.author == cast.reviewer.member


def test_the_inspector_changes_the_words_too(cast: Cast) -> None:
    one = by_hand(handed_in(cast))

    assert rewrite(cast.ines, one, seen="It rubs.").status_code == 302
    assert rewrite(cast.omar, one, seen="No.").status_code == 404
    assert rewrite(cast.scheduler, one, seen="No.").status_code == 404
    assert words_of(now(one)).seen == "It rubs."


def test_saving_the_same_words_makes_no_revision(cast: Cast) -> None:
    one = by_hand(handed_in(cast))

    assert rewrite(cast.reviewer, one).status_code == 302
    assert Revision.objects.filter(finding=one).count() == 1


def test_words_that_moved_on_are_shown_and_nothing_typed_is_lost(cast: Cast) -> None:
    one = by_hand(handed_in(cast))
    old = words_form(one)
    rewrite(cast.ines, one, seen="Newer words of the inspector.")

    client = cast.reviewer.client()
    late = {**old, "seen": "Typed on an old page."}
    response = client.post(at("finding-words", one), late)

    assert response.status_code == 409
    said = response.content.decode()
    assert "Typed on an old page." in said
    assert "Newer words of the inspector." in said
    assert words_of(now(one)).seen == "Newer words of the inspector."
    # The page that came back saves on top of the newer words.
    form = response.context["form"]
    again = {**late, "version": form["version"].value()}
    assert client.post(at("finding-words", one), again).status_code == 302
    assert words_of(now(one)).seen == "Typed on an old page."


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"seen": "x" * 4001}, "At most 4000 characters"),
        ({"asked_by": "THE_DOG"}, "Choose one of those listed"),
        ({"version": "two"}, "Enter a whole number"),
    ],
)
def test_bad_words_are_refused_at_the_field(
    cast: Cast, wrong: dict[str, str], words: str
) -> None:
    one = by_hand(handed_in(cast))

    response = rewrite(cast.reviewer, one, **{"matters": "Typed with care.", **wrong})

    assert response.status_code == 400
    said = response.content.decode()
    assert words in said
    assert "Typed with care." in said
    assert Revision.objects.filter(finding=one).count() == 1


def test_a_change_of_substance_waits_for_the_inspectors_yes(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_rule(walked)
    was = one.timing

    assert ask(walked, one).status_code == 302
    assert now(one).timing == was
    change = SubstanceChange.objects.get()
    page = cast.ines.client().get(at("visit-sign", walked.visit))
    assert "Rain is near." in page.content.decode()
    for other in (cast.reviewer, cast.owner, cast.omar):
        answer = other.client().post(at("change-answer", change), {"answer": "yes"})
        assert answer.status_code == 404
    yes = cast.ines.client().post(at("change-answer", change), {"answer": "yes"})
    assert yes.status_code == 302
    assert now(one).timing == "before_close"
    assert words_of(now(one)).when == "Before you close."


def test_a_refused_change_leaves_the_finding(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_rule(walked)
    before = (one.timing, one.version)
    ask(walked, one)
    change = SubstanceChange.objects.get()
    address = at("change-answer", change)

    assert cast.ines.client().post(address, {"answer": "no"}).status_code == 302
    assert (now(one).timing, now(one).version) == before
    # Answered once: a second answer is told so.
    assert cast.ines.client().post(address, {"answer": "yes"}).status_code == 409
    assert cast.ines.client().post(address, {"answer": "maybe"}).status_code == 400
    assert now(one).timing == before[0]


def test_each_field_that_differs_becomes_a_change(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_rule(walked)

    response = ask(
        walked,
        one,
        consequence=one.consequence,
        trade="general",
        places="Garage, left wall; Bedroom",
    )

    assert response.status_code == 302
    fields = SubstanceChange.objects.order_by("field").values_list("field", flat=True)
    assert list(fields) == ["places", "timing", "trade"]
    for change in SubstanceChange.objects.all():
        cast.ines.client().post(at("change-answer", change), {"answer": "yes"})
    assert now(one).places == ["Garage, left wall", "Bedroom"]
    assert now(one).trade == "general"


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"reason": ""}, "Something is needed here"),
        ({"timing": "next_week"}, "Choose one of those listed"),
        ({"timing": ""}, "Nothing here differs"),
        ({"places": "x" * 301}, "At most 300 characters"),
    ],
)
def test_a_change_that_cannot_be_asked_for_says_why(
    cast: Cast, typed: dict[str, str], words: str
) -> None:
    walked = handed_in(cast)

    response = ask(walked, by_rule(walked), **typed)

    assert response.status_code == 400
    assert words in response.content.decode()
    assert SubstanceChange.objects.count() == 0


def test_one_change_of_a_field_waits_at_a_time(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_rule(walked)
    ask(walked, one)

    response = ask(walked, one, timing="first_year", reason="Or later.")

    assert response.status_code == 409
    assert "waits for the inspector already" in response.content.decode()
    assert "Or later." in response.content.decode()


def test_an_inspector_without_the_role_asks_for_nothing(cast: Cast) -> None:
    one = by_rule(handed_in(cast))

    response = cast.ines.client().post(at("finding-change", one), CHANGE)

    assert response.status_code == 403
    assert SubstanceChange.objects.count() == 0


def test_a_finding_taken_out_with_a_yes_stays_out(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_hand(walked)
    ask(walked, one, timing="", withdrawn="on")
    change = SubstanceChange.objects.get()
    cast.ines.client().post(at("change-answer", change), {"answer": "yes"})
    assert now(one).state == "WITHDRAWN"

    walked.hand_in()

    assert now(one).state == "WITHDRAWN"
    # It is still seen by both, folded, with who asked, who agreed and when.
    for person, name in ((cast.ines, "visit-read"), (cast.reviewer, "review-read")):
        address = reverse(name, args=["northside", walked.visit.pk])
        page = person.client().get(address)
        (row,) = page.context["page"].withdrawn
        assert cast.reviewer.member.name in row.value
        assert f"agreed by {cast.ines.member.name} on " in row.value
        assert "Taken out: 1" in page.content.decode()


def test_words_pass_when_nothing_stands_against_them(cast: Cast) -> None:
    one = by_hand(handed_in(cast))
    rewrite(cast.reviewer, one, **whole())

    assert check(cast.reviewer, one).status_code == 302
    assert now(one).state == "WORDS_CHECKED"


def test_words_with_a_missing_part_do_not_pass(cast: Cast) -> None:
    one = by_hand(handed_in(cast))
    rewrite(cast.reviewer, one, **{**whole(), "matters": ""})

    response = check(cast.reviewer, one)

    assert response.status_code == 409
    assert "A compulsory part is missing" in response.content.decode()
    assert now(one).state == "IN_REVIEW"


def test_words_do_not_pass_while_a_change_waits(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_hand(walked)
    rewrite(cast.reviewer, one, **whole())
    ask(walked, one)

    response = check(cast.reviewer, one)

    assert response.status_code == 409
    assert "still waits for the inspector" in response.content.decode()


def test_a_decision_on_words_that_moved_on_is_refused(cast: Cast) -> None:
    one = by_hand(handed_in(cast))
    rewrite(cast.reviewer, one, **whole())
    read = now(one).version
    rewrite(cast.ines, one, **{**whole(), "seen": "Something else was seen there."})

    response = check(cast.reviewer, one, read)

    assert response.status_code == 409
    assert "The finding changed while you read" in response.content.decode()
    assert "Something else was seen there." in response.content.decode()
    assert now(one).state == "IN_REVIEW"
    assert check(cast.reviewer, one).status_code == 302


def test_a_version_that_is_no_number_is_refused(cast: Cast) -> None:
    one = by_hand(handed_in(cast))

    response = cast.reviewer.client().post(at("finding-check", one), {"version": "x"})

    assert response.status_code == 400


def test_nobody_passes_their_own_words_where_somebody_else_could(cast: Cast) -> None:
    cast.ines.member.roles = ["INSPECTOR", "REVIEWER"]
    cast.ines.member.save()
    one = by_hand(handed_in(cast))
    rewrite(cast.ines, one, **whole())

    response = check(cast.ines, one)

    assert response.status_code == 403
    assert now(one).state == "IN_REVIEW"
    assert "Somebody else of the firm" in response.content.decode()


def test_a_firm_of_one_checks_its_own_words(cast: Cast) -> None:
    cast.ines.member.roles = ["INSPECTOR", "OWNER"]
    cast.ines.member.save()
    walked = handed_in(cast)
    others = (cast.owner, cast.reviewer, cast.omar)
    for person in others:
        person.member.disabled_at = NOW
        person.member.save()
    for one in walked.findings():
        rewrite(cast.ines, one, **whole())
        assert check(cast.ines, one).status_code == 302

    response = cast.ines.client().post(at("review-finish", walked.visit))

    assert response.status_code == 302
    walked.visit.refresh_from_db()
    assert walked.visit.status == Visit.Status.WORDS_CHECKED


def test_a_finding_sent_back_comes_again(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_hand(walked)
    client = cast.reviewer.client()
    address = at("finding-return", one)

    assert client.post(address, {"note": " "}).status_code == 400
    assert client.post(address, {"note": "Which side?"}).status_code == 302
    assert now(one).state == "RETURNED"
    assert check(cast.reviewer, one).status_code == 409
    assert client.post(address, {"note": "Again"}).status_code == 409
    page = cast.ines.client().get(at("finding-read", one))
    assert "Which side?" in page.content.decode()
    assert "Give it to review again" in page.content.decode()
    assert client.post(at("finding-hand-back", one)).status_code == 403
    back = cast.ines.client().post(at("finding-hand-back", one))
    assert back.status_code == 302
    assert now(one).state == "IN_REVIEW"


def test_notes_are_put_and_settled(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_hand(walked)
    about = f"finding:{one.pk}"
    write = at("note-write", walked.visit)

    client = cast.reviewer.client()
    put = client.post(write, {"text": "Which side?", "about": about})
    assert put.headers["Location"] == at("finding-read", one)
    note = ReviewNote.objects.get()
    settle = at("note-settle", note) + "?from=sign"
    done = cast.ines.client().post(settle, {"answer": "The left."})
    assert done.headers["Location"] == at("visit-sign", walked.visit)
    note.refresh_from_db()
    assert (note.answer, note.settled_by) == ("The left.", cast.ines.member)
    # Settled once: a second answer is told so and changes nothing.
    again = client.post(at("note-settle", note), {"answer": "No, right."})
    assert again.status_code == 409
    note.refresh_from_db()
    assert note.answer == "The left."


def test_an_empty_answer_settles_nothing(cast: Cast) -> None:
    walked = handed_in(cast)
    note = review.write_note(
        actor=cast.reviewer.actor, visit=walked.visit, about="visit", text="Why?"
    )

    response = cast.ines.client().post(
        at("note-settle", note) + "?from=sign", {"answer": ""}, follow=True
    )

    assert "The note is not settled" in response.content.decode()
    note.refresh_from_db()
    assert note.settled_at is None


@pytest.mark.parametrize(
    "typed",
    [
        {"text": "", "about": "visit"},
        {"text": "x" * 2001, "about": "visit"},
        {"text": "Typed.", "about": "finding:00000000-0000-0000-0000-000000000000"},
        {"text": "Typed.", "about": "moon:1"},
    ],
)
def test_a_note_that_cannot_be_put_says_why(cast: Cast, typed: dict[str, str]) -> None:
    walked = handed_in(cast)

    response = cast.reviewer.client().post(at("note-write", walked.visit), typed)

    assert response.status_code == 400
    assert "The note is not put yet" in response.content.decode()
    assert typed["text"] in response.content.decode()
    assert ReviewNote.objects.count() == 0


def test_the_review_finishes_when_all_is_checked(cast: Cast) -> None:
    walked = handed_in(cast)
    finish = at("review-finish", walked.visit)
    client = cast.reviewer.client()
    refused = client.post(finish, follow=True, HTTP_REFERER="http://testserver/")
    assert "are not checked yet" in refused.content.decode()
    for one in walked.findings():
        rewrite(cast.reviewer, one, **whole())
        check(cast.reviewer, one)
    note = review.write_note(
        actor=cast.reviewer.actor, visit=walked.visit, about="visit", text="Why?"
    )
    assert client.post(finish).status_code == 409
    client.post(at("note-settle", note), {"answer": "Because."})

    assert client.post(finish).headers["Location"] == at("review-list")
    walked.visit.refresh_from_db()
    assert walked.visit.status == Visit.Status.WORDS_CHECKED
    off = SignOff.objects.get(kind="WORDS_CHECKED", undone_at__isnull=True)
    assert off.membership == cast.reviewer.member
    assert client.post(finish).status_code == 409


def test_hand_in_refuses_while_a_proposal_is_undecided(cast: Cast) -> None:
    walked = walk(cast)
    waiting = walked.seen().undecided
    assert waiting

    with pytest.raises(review.UnableToHandIn) as refused:
        walked.hand_in()

    assert any(waiting[0].title in line for line in refused.value.details)


def test_questions_do_not_hold_up_hand_in(cast: Cast) -> None:
    walked = walk(cast)
    walked.gone("sp-13")
    walked.record(**{"sp-15": space(15, amps=30, how="estimated")})
    walked.decide("use")
    assert walked.seen().questions

    walked.hand_in()

    assert walked.visit.status == Visit.Status.HANDED_IN


def test_handing_in_again_changes_nothing_by_itself(cast: Cast) -> None:
    walked = handed_in(cast)
    before = {f.pk: (f.version, f.state) for f in walked.findings()}

    walked.hand_in()

    assert {f.pk: (f.version, f.state) for f in walked.findings()} == before


def test_a_decision_taken_back_takes_its_finding_out(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_rule(walked)
    (name,) = [
        key
        for key, record in walked.seen().records.items()
        if record["kind"] == "decision"
        and f"{record['rule']}:{record['subject']}" == one.source_key
    ]
    walked.ids[name] = name
    walked.record(**{name: {"choice": "not_here", "reason": "mis_entered"}})

    walked.hand_in()

    assert now(one).state == "WITHDRAWN"
