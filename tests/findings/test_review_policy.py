"""What of the library's words passes unread, by the firm's policy."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from findings.models import Finding, SignOff
from findings.selectors.often_changed import often_changed
from findings.selectors.review_policy import Policy, policy_of, why_read
from findings.selectors.shelf import House
from findings.services import review
from findings.services.review_policy import set_policy
from findings.wording.passages import starter
from findings.wording.tuning import Tuning
from firm.errors import BadInput, NotAllowed
from firm.models import AuditEntry
from tests.support.cast import Cast
from tests.support.reviewed import at, by_hand, by_rule, check, handed_in, rewrite
from tests.support.visits import STARTS
from tests.support.walked import FULL, NOW, Walk

pytestmark = pytest.mark.django_db

HOUSE = House(starter(), Tuning())
PASSES = Policy(library_passes=True, levels=(), share=0)


def passed(row: Finding) -> Finding:
    return Finding.objects.select_related("words", "visit__inspector").get(pk=row.pk)


def decide(cast: Cast, policy: Policy = PASSES) -> None:
    set_policy(actor=cast.owner.actor, policy=policy)
    cast.northside.refresh_from_db()


def finish(walked: Walk) -> None:
    review.finish_review(actor=walked.cast.reviewer.actor, visit=walked.visit, now=NOW)


def test_as_it_comes_a_person_reads_everything(cast: Cast) -> None:
    walked = handed_in(cast)

    assert why_read(policy_of(cast.owner.actor), passed(by_rule(walked)), (), HOUSE)
    with pytest.raises(review.UnableToCheckWords):
        finish(walked)


def test_library_words_pass_and_the_report_says_so(cast: Cast) -> None:
    walked = handed_in(cast)
    decide(cast)
    rewrite(cast.reviewer, by_hand(walked), **_whole())
    with pytest.raises(review.UnableToCheckWords):
        finish(walked)
    assert check(cast.reviewer, by_hand(walked)).status_code == 302

    finish(walked)

    assert {(row.state, row.passed_unread) for row in walked.findings()} == {
        ("WORDS_CHECKED", True),
        ("WORDS_CHECKED", False),
    }
    entry = AuditEntry.objects.get(event="words.passed_unread")
    assert entry.subject == f"finding:{by_rule(walked).pk}"
    assert SignOff.objects.filter(kind="WORDS_CHECKED").exists()
    walked.visit.refresh_from_db()
    walked.clients("Ada Buyer")
    assert "did not read these one by one" in json.dumps(walked.told())


def _whole() -> dict[str, str]:
    return {name: getattr(FULL, name) for name in ("seen", "matters", "action", "when")}


def test_why_a_person_still_reads(cast: Cast) -> None:
    walked = handed_in(cast)
    ruled, handed = passed(by_rule(walked)), passed(by_hand(walked))
    ines = str(cast.ines.member.pk)
    stops = [str(stop["name"]) for _, stop in walked.seen().of_kind("stop")]

    assert why_read(PASSES, ruled, stops, HOUSE) == ""
    assert "by hand" in why_read(PASSES, handed, (), HOUSE)
    grave = replace(PASSES, levels=(ruled.consequence,))
    assert "always read" in why_read(grave, ruled, (), HOUSE)
    assert "Ines Field" in why_read(
        replace(PASSES, inspectors=(ines,)), ruled, (), HOUSE
    )
    assert "sample" in why_read(replace(PASSES, share=100), ruled, (), HOUSE)
    assert why_read(PASSES, ruled, [], HOUSE) == "there are remarks at its words"
    ruled.timing = "watch"
    assert "another level" in why_read(PASSES, ruled, (), HOUSE)


def test_changed_words_do_not_pass(cast: Cast) -> None:
    walked = handed_in(cast)
    row = by_rule(walked)
    rewrite(cast.ines, row, **_whole())

    assert "not the library's own" in why_read(PASSES, passed(row), (), HOUSE)


def test_words_reopened_are_no_longer_passed_unread(cast: Cast) -> None:
    walked = handed_in(cast)
    decide(cast)
    rewrite(cast.reviewer, by_hand(walked), **_whole())
    check(cast.reviewer, by_hand(walked))
    finish(walked)

    rewrite(cast.reviewer, by_rule(walked), matters="It can get hot.")

    assert not passed(by_rule(walked)).passed_unread
    assert by_rule(walked).state == "IN_REVIEW"


def test_the_page_says_what_passes_and_what_is_read(cast: Cast) -> None:
    walked = handed_in(cast)
    decide(cast)

    page = cast.reviewer.client().get(at("review-read", walked.visit)).context["page"]
    rows = {row.title: row for place in page.places for row in place.findings}

    assert page.passing == 1
    assert [row.why_read for row in rows.values() if row.why_read] == [
        "it was written by hand"
    ]


def post(cast: Cast, person: Any, **typed: Any) -> Any:
    form = {"library_passes": "on", "share": "15", "levels": ["could_hurt"], **typed}
    return person.client().post(at("review-policy"), form)


def test_only_the_owner_decides_and_it_is_kept(cast: Cast) -> None:
    omar = str(cast.omar.member.pk)
    assert post(cast, cast.reviewer).status_code == 403
    assert post(cast, cast.owner, inspectors=omar).status_code == 302

    cast.northside.refresh_from_db()
    chosen = policy_of(cast.owner.actor)
    assert chosen == Policy(
        library_passes=True,
        levels=("could_hurt",),
        inspectors=(omar,),
        share=15,
    )
    assert AuditEntry.objects.get(event="review_policy.set").detail["before"] == {}
    said = cast.reviewer.client().get(at("review-how")).content.decode()
    assert "15 are read as a sample" in said
    assert "Everything is read of Omar Field" in said


def test_a_policy_that_cannot_be_is_refused(cast: Cast) -> None:
    assert post(cast, cast.owner, share="101").status_code == 400
    assert post(cast, cast.owner, levels=["loud"]).status_code == 400
    stranger = str(cast.stranger.member.pk)
    assert post(cast, cast.owner, inspectors=stranger).status_code == 400
    with pytest.raises(BadInput):
        set_policy(actor=cast.owner.actor, policy=replace(PASSES, share=-1))
    with pytest.raises(NotAllowed):
        set_policy(actor=cast.reviewer.actor, policy=PASSES)


def test_a_passage_reworded_in_three_visits_is_proposed_for_the_library(
    cast: Cast,
) -> None:
    for number in range(3):
        walked = handed_in(
            cast, number=f"R-2026-{number}", starts=STARTS + timedelta(days=number)
        )
        assert often_changed(cast.owner.actor) == ()
        row = by_rule(walked)
        rewrite(cast.reviewer, row, matters="The wire gets hot in the wall.")
        check(cast.reviewer, row)

    (often,) = often_changed(cast.owner.actor)

    assert often.passage == row.passage
    assert often.said == "reworded in 3 of 3 visits"
    (part,) = often.examples[0].parts
    assert (part.key, part.now) == ("matters", "The wire gets hot in the wall.")
    assert part.before != part.now
