"""Whose turn a review is, who covers, who else has it open, how long it took."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from findings.models import ReviewCover, ReviewSitting, ReviewTurn
from findings.selectors.sittings import times
from findings.services import sittings
from tests.support.cast import Cast, Person
from tests.support.reviewed import at, handed_in
from tests.support.visits import STARTS, make_visit
from tests.support.walked import Walk

pytestmark = pytest.mark.django_db


def name(walked: Walk, reader: Person | None, by: Person | None = None) -> Any:
    form = {"reader": str(reader.member.pk) if reader else "", "because": "asked"}
    client = (by or walked.cast.reviewer).client()
    return client.post(at("turn-give", walked.visit), form)


def away(cast: Cast, **typed: Any) -> Any:
    day = timezone.localdate()
    form = {
        "away": str(cast.reviewer.member.pk),
        "by": str(cast.owner.member.pk),
        "first_day": f"{day - timedelta(days=1)}",
        "last_day": f"{day + timedelta(days=2)}",
        "because": "on leave",
        **typed,
    }
    return cast.reviewer.client().post(at("cover-set"), form)


def listed(person: Person) -> Any:
    return person.client().get(at("review-list")).context["page"]


def beat(person: Person, walked: Walk) -> Any:
    return person.client().post(at("review-beat", walked.visit))


def test_a_named_visit_stands_on_that_persons_list(cast: Cast) -> None:
    walked = handed_in(cast)
    assert len(listed(cast.owner).waiting) == len(listed(cast.reviewer).waiting) == 1

    assert name(walked, cast.owner).status_code == 302

    assert len(listed(cast.owner).waiting) == 1
    others = listed(cast.reviewer)
    assert others.waiting == ()
    assert "named for Olive Owner" in others.with_others[0].note
    name(walked, None)
    assert len(listed(cast.reviewer).waiting) == 1
    assert ReviewTurn.objects.count() == 2


def test_nobody_reads_who_cannot_or_their_own(cast: Cast) -> None:
    walked = handed_in(cast)
    assert name(walked, cast.omar).status_code == 302  # not among those offered
    assert not ReviewTurn.objects.exists()
    walked.visit.inspector = cast.reviewer.member
    walked.visit.save()

    assert name(walked, cast.reviewer).status_code == 409
    assert not ReviewTurn.objects.exists()


def test_a_cover_moves_what_is_named_for_who_is_away(cast: Cast) -> None:
    walked = handed_in(cast)
    name(walked, cast.reviewer)
    assert listed(cast.owner).waiting == ()

    assert away(cast).status_code == 302

    row = listed(cast.owner).waiting[0]
    assert "Rae Reviewer is away until" in row.note
    assert "Olive Owner covers" in row.note
    cover = ReviewCover.objects.get()
    assert cast.owner.client().post(at("cover-end", cover)).status_code == 302
    assert listed(cast.owner).waiting == ()
    assert len(listed(cast.reviewer).waiting) == 1


def test_who_covers_may_be_away_too(cast: Cast) -> None:
    walked = handed_in(cast)
    name(walked, cast.reviewer)
    away(cast)
    away(
        cast,
        away=str(cast.owner.member.pk),
        by=str(cast.reviewer.member.pk),
    )

    assert "and so is Olive Owner" in listed(cast.owner).waiting[0].note
    assert len(listed(cast.reviewer).waiting) == 1


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"last_day": "2020-01-02", "first_day": "2020-01-01"}, "These days are over"),
        ({"last_day": "2026-01-01"}, "The last day is before the first"),
        ({"because": ""}, "Something is needed here"),
    ],
)
def test_a_cover_that_cannot_be_is_refused(
    cast: Cast, typed: dict[str, str], said: str
) -> None:
    response = away(cast, **typed)

    assert response.status_code == 400
    assert said in response.content.decode()
    assert not ReviewCover.objects.exists()


def test_nobody_covers_for_themselves(cast: Cast) -> None:
    response = away(cast, by=str(cast.reviewer.member.pk))

    assert response.status_code == 400
    assert "Nobody covers for themselves" in response.content.decode()


def test_two_who_open_a_visit_learn_of_each_other(cast: Cast) -> None:
    walked = handed_in(cast)
    assert beat(cast.reviewer, walked).json() == {"others": ""}

    said = beat(cast.owner, walked).json()["others"]

    assert said.startswith("Rae Reviewer has this visit open too, since ")
    page = cast.owner.client().get(at("review-read", walked.visit))
    assert said in page.content.decode()
    assert "open just now by Rae Reviewer" in listed(cast.owner).waiting[0].note
    ReviewSitting.objects.update(seen_at=timezone.now() - timedelta(minutes=5))
    assert beat(cast.owner, walked).json() == {"others": ""}


def test_time_in_view_adds_up_and_pauses_do_not(cast: Cast) -> None:
    walked = handed_in(cast)
    begun = timezone.now()
    for second in (0, 20, 40, 55, 400, 420, 2000, 2010):
        sittings.beat(
            actor=cast.reviewer.actor,
            visit=walked.visit,
            now=begun + timedelta(seconds=second),
        )

    rows = ReviewSitting.objects.order_by("opened_at")
    assert [row.seconds for row in rows] == [55 + 20, 10]


def test_reading_ones_own_visit_is_no_review(cast: Cast) -> None:
    walked = handed_in(cast)
    walked.visit.inspector = cast.reviewer.member
    walked.visit.save()

    beat(cast.reviewer, walked)
    assert beat(cast.ines, walked).status_code == 404
    assert not ReviewSitting.objects.exists()


def test_the_firm_sees_how_long_reviews_took(cast: Cast) -> None:
    walked = handed_in(cast)
    for reader, seconds in ((cast.reviewer, 300), (cast.owner, 100)):
        ReviewSitting.objects.create(
            firm=cast.northside,
            visit=walked.visit,
            reader=reader.member,
            opened_at=timezone.now(),
            seen_at=timezone.now(),
            seconds=seconds,
        )
    assert times(cast.owner.actor).rows == ()
    walked.check_words()

    found = times(cast.owner.actor)

    assert (found.rows[0].minutes, found.rows[0].over) == ("6:40", True)
    assert found.rows[0].findings == len(walked.findings())
    assert found.median == "6:40"


def test_the_page_of_how_we_review_asks_the_same_however_many(cast: Cast) -> None:
    client, counts = cast.owner.client(), []
    for number in range(3):
        made = make_visit(
            cast.ines,
            f"R-2026-{number}",
            STARTS + timedelta(hours=4 * number),
            status="SIGNED",
        )
        ReviewSitting.objects.create(
            firm=cast.northside,
            visit=made,
            reader=cast.reviewer.member,
            opened_at=timezone.now(),
            seen_at=timezone.now(),
            seconds=90,
        )
        away(cast)
        with CaptureQueriesContext(connection) as caught:
            response = client.get(at("review-how"))
        assert len(response.context["page"].times.rows) == number + 1
        counts.append(len(caught))

    assert len(set(counts)) == 1, counts
