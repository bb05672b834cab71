"""The review read from the outside: the list, the visit, one finding."""

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from findings.models import Finding, ReviewNote
from tests.support.cast import Cast
from tests.support.reviewed import (
    CLOSET,
    at,
    by_hand,
    by_rule,
    check,
    handed_in,
    rewrite,
    whole,
    words_form,
)
from tests.support.visits import STARTS, make_visit
from tests.support.walked import walk

pytestmark = pytest.mark.django_db


def text(response: Any, status: int = 200) -> str:
    assert response.status_code == status, response.content.decode()[:2000]
    return str(response.content.decode())


def test_the_list_puts_the_earliest_promise_first(cast: Cast) -> None:
    zone = ZoneInfo("America/New_York")
    agreed = datetime(2026, 11, 26, 12, tzinfo=zone)
    decide = datetime(2026, 11, 25, 17, tzinfo=zone)
    promises: list[dict[str, Any]] = [
        {},
        {"agreed_due_at": agreed},
        {"decide_by_at": decide, "decide_by_source": "the contract"},
    ]
    for number, more in enumerate(promises):
        visit = make_visit(
            cast.ines,
            f"R-2026-{number}",
            STARTS + timedelta(hours=4 * number),
            status="HANDED_IN",
            **more,
        )
        visit.property.street = f"{number} Sawmill Row"
        visit.property.save()

    page = cast.reviewer.client().get(at("review-list")).context["page"]

    assert [row.address[0] for row in page.waiting] == ["2", "1", "0"]
    first, second, third = (row.promised for row in page.waiting)
    assert first == ("Promised by Wed 25 November 2026, 5:00 pm: the client's deadline")
    assert second.endswith("12:00 pm: the date in the agreement")
    # North Carolina: three business days after the inspection; Thanksgiving and the
    # day after are public holidays there.
    assert "business days after the inspection" in third


def test_the_list_says_how_far_each_visit_is(cast: Cast) -> None:
    walked = handed_in(cast)
    total = len(walked.findings())
    one = by_hand(walked)
    rewrite(cast.reviewer, one, **whole())
    assert check(cast.reviewer, one).status_code == 302
    ReviewNote.objects.create(
        firm=cast.northside,
        visit=walked.visit,
        about="visit",
        text="Look again.",
        author=cast.reviewer.member,
    )

    page = cast.reviewer.client().get(at("review-list")).context["page"]

    assert page.waiting[0].state == f"1 of {total} findings checked"
    assert page.waiting[0].note == "1 open note"


def test_the_list_asks_the_same_however_many_visits(cast: Cast) -> None:
    client = cast.reviewer.client()
    counts = []
    for number in range(3):
        made = make_visit(
            cast.ines,
            f"R-2026-{number}",
            STARTS + timedelta(hours=4 * number),
            status="HANDED_IN",
        )
        Finding.objects.create(
            firm=cast.northside,
            visit=made,
            source_key="x",
            system="electrical",
            consequence="upkeep",
            timing="watch",
            trade="general",
            author=cast.ines.member,
        )
        with CaptureQueriesContext(
            connection,
        ) as caught:
            assert client.get(at("review-list")).status_code == 200
        counts.append(len(caught))

    assert len(set(counts)) == 1


def test_the_visit_reads_as_the_client_will_read_it(cast: Cast) -> None:
    walked = handed_in(cast)
    photo = walked.picture("photo", stop="s-svc", use="shows_it", about="sp-13")
    walked.picture("general", stop="s-bed", use="general_view", caption="The bedroom")
    walked.hand_in()

    response = cast.reviewer.client().get(at("review-read", walked.visit))

    said, page = text(response), response.context["page"]
    assert CLOSET in said
    assert words_form(by_rule(walked))["seen"] in page_words(page)
    rows = [row for place in page.places for row in place.findings]
    assert [row.number for row in rows] == list(range(1, len(rows) + 1))
    assert [place.name for place in page.places] == ["Service equipment", "Bedroom"]
    first = rows[0]
    assert first.level.startswith("Could hurt someone. Have an electrician")
    assert [shown.photo_id for shown in first.photos] == [str(photo.pk)]
    assert [shown.words for shown in page.loose_photos] == ["The bedroom"]
    assert any("Looked at" in line for row in page.ledger for line in row.lines)
    assert page.front
    assert all("Could hurt" in line for line in page.front[:1])


def page_words(page: Any) -> list[str]:
    return [
        part.now
        for place in page.places
        for row in place.findings
        for part in row.parts
    ]


def test_review_numbers_findings_as_the_report_does(cast: Cast) -> None:
    walked = handed_in(cast)
    walked.clients("Ada Buyer")

    page = cast.reviewer.client().get(at("review-read", walked.visit)).context["page"]
    rows = [row for place in page.places for row in place.findings]
    printed = {f["id"]: f["number"] for f in walked.told()["findings"]}

    assert {row.url.split("/")[-2]: row.number for row in rows} == printed


def test_the_visit_lists_questions_and_what_was_set_aside(cast: Cast) -> None:
    walked = walk(cast)
    walked.decide("not_here", reason="mis_entered", reason_text="It is a 15.")
    walked.hand_in()

    page = cast.reviewer.client().get(at("review-read", walked.visit)).context["page"]

    assert any("It is a 15." in row.value for row in page.set_aside)
    assert len(page.questions) == len(walked.seen().questions)


def test_the_visit_asks_the_same_however_many_findings(cast: Cast) -> None:
    walked = handed_in(cast)
    client = cast.reviewer.client()
    counts = []
    for number in range(3):
        walked.finding(f"extra-{number}", stop=walked.id("s-kit"))
        walked.picture(f"p-{number}", stop="s-kit")
        with CaptureQueriesContext(connection) as caught:
            assert client.get(at("review-read", walked.visit)).status_code == 200
        counts.append(len(caught))

    assert len(set(counts)) == 1, counts


def test_a_finding_shows_how_it_came_about(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_rule(walked)

    response = cast.reviewer.client().get(at("finding-read", one))
    said, page = text(response), response.context["page"]

    told = one.proposal
    assert told is not None
    assert len(page.facts) == len(told["facts"]) > 0
    assert page.rule.source == told["source"] != ""
    assert told["provenance"] == "found"
    assert page.rule.provenance == "Read in its source."
    assert page.rule.trace == tuple(told["trace"]) != ()
    assert one.rule in said
    assert "Used by Ines Field as proposed." in said


def test_remarks_stand_at_the_words(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_hand(walked)
    rewrite(
        cast.reviewer, one, **{**whole(), "matters": "This is a ticking time bomb."}
    )

    page = cast.reviewer.client().get(at("finding-read", one)).context["page"]

    assert page.remarks
    matters = next(part for part in page.parts if part.key == "matters")
    assert "".join(run.text for run in matters.runs) == "This is a ticking time bomb."
    marked = [run for run in matters.runs if run.remark]
    about = {row.number: row.about for row in page.remarks}
    assert marked
    assert all(about[run.remark] == run.text for run in marked)


def test_markup_in_wording_shows_literally(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_hand(walked)
    typed = '<script>alert("x")</script> & <b>bold</b>'
    rewrite(cast.reviewer, one, **{**whole(), "seen": typed})

    for address in (at("finding-read", one), at("review-read", walked.visit)):
        said = text(cast.reviewer.client().get(address))
        assert "<script>alert" not in said
        assert "&lt;script&gt;alert" in said
        assert "<b>bold</b>" not in said


def test_differences_since_hand_in_are_visible(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_hand(walked)
    before = words_form(one)["seen"]
    rewrite(
        cast.reviewer, one, seen="The closet door rubs at the top.", asked_by="AGENT"
    )

    response = cast.reviewer.client().get(at("finding-read", one))
    said, page = text(response), response.context["page"]

    seen = next(part for part in page.parts if part.key == "seen")
    assert (seen.changed, seen.before) == (True, before)
    assert "<ins" in said
    assert "<del" in said
    assert page.history[0].asked_by == "asked by an agent"
    assert page.history[0].by == "Rae Reviewer"


@pytest.mark.parametrize(
    "name", ["review-read", "finding-read", "visit-sign", "review-list"]
)
def test_another_firm_sees_nothing(cast: Cast, name: str) -> None:
    walked = handed_in(cast)
    needed: dict[str, list[Any]] = {
        "review-read": [walked.visit],
        "visit-sign": [walked.visit],
        "finding-read": [by_hand(walked)],
        "review-list": [],
    }
    ids = needed[name]

    assert cast.stranger.client().get(at(name, *ids)).status_code == 404


def test_who_may_read_a_review(cast: Cast) -> None:
    walked = handed_in(cast)
    address = at("review-read", walked.visit)
    finding = at("finding-read", by_hand(walked))

    def seen(person: Any) -> tuple[int, int, int]:
        client = person.client()
        return (
            client.get(address).status_code,
            client.get(finding).status_code,
            client.get(at("review-list")).status_code,
        )

    assert seen(cast.owner) == (200, 200, 200)
    assert seen(cast.reviewer) == (200, 200, 200)
    assert seen(cast.ines) == (200, 200, 403)
    assert seen(cast.omar) == (404, 404, 403)
    assert seen(cast.scheduler) == (403, 404, 403)


def test_unknown_ids_are_not_found(cast: Cast) -> None:
    client = cast.reviewer.client()

    for name in ("review-read", "finding-read"):
        assert client.get(at(name, uuid4())).status_code == 404
    for name in ("finding-words", "finding-check", "note-settle", "change-answer"):
        assert client.post(at(name, uuid4())).status_code == 404
