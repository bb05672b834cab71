"""Interests, payment and disputes of one visit, from the outside."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from firm.models import AuditEntry
from inspections.models import Agreement, Hold, Interest, Visit
from reports.selectors.gate import blockers
from tests.inspections.test_bookings_views import booked
from tests.support.cast import Cast, Person
from tests.support.walked import walk

pytestmark = pytest.mark.django_db

TIE = {"kind": "tie", "text": "Our owner's sister sells the house."}
PAYER = {"kind": "second_payer", "text": "The lender pays half of the fee."}


def add(person: Person, visit: Visit, **given: str):
    url = reverse("interest-add", args=["northside", visit.pk])
    return person.client().post(url, given)


def page(person: Person, visit: Visit) -> str:
    url = reverse("visit-asks", args=["northside", visit.pk])
    return person.client().get(url).content.decode()


def send(person: Person, visit: Visit) -> None:
    url = reverse("agreement-send", args=["northside", visit.pk])
    assert person.client().post(url, {"text": "We agree."}).status_code == 302


def test_the_page_says_what_the_state_asks_and_how_it_stands(cast: Cast) -> None:
    text = page(cast.scheduler, booked(cast))

    # December 8, 2026 is a Tuesday; three business days on is Friday, December 11.
    assert "Promised by Fri 11 December 2026" in text
    assert "every client signs the agreement before work begins" in text
    assert "Kept at least until December 8, 2029" in text
    assert "From memory: the firm confirms it." in text
    assert "unless the client agrees in writing" in text


def test_an_interest_is_told_above_the_place_where_a_client_signs(cast: Cast) -> None:
    visit = booked(cast)
    assert add(cast.scheduler, visit, **TIE).status_code == 302
    assert "Tell the client in writing before they sign" in page(cast.scheduler, visit)

    send(cast.scheduler, visit)

    assert TIE["text"] in Agreement.objects.get().text
    assert Interest.objects.get().told_how == "in the agreement, before signing"
    assert "Tell the client in writing" not in page(cast.scheduler, visit)


def test_an_interest_told_to_nobody_stands_against_the_release(cast: Cast) -> None:
    walked = walk(cast)
    walked.clients("Dana Whitlow")
    add(cast.scheduler, walked.visit, **PAYER)
    row = Interest.objects.get()
    told = reverse("interest-told", args=["northside", row.pk])
    client = cast.scheduler.client()

    def against() -> list[str]:
        found = blockers(cast.reviewer.actor, walked.visit)
        return [one.text for one in found if one.code == "interest"]

    assert len(against()) == 2  # to be told; and all have to agree in writing
    assert client.post(told, {"how": ""}).status_code == 400
    assert client.post(told, {"how": "letter of March 3"}).status_code == 302
    assert len(against()) == 1
    agreed = {"how": "all signed on March 4", "consent": "on"}
    assert client.post(told, agreed).status_code == 302
    assert against() == []
    assert AuditEntry.objects.filter(event="interest.consented").exists()


def test_washington_bars_the_firm_from_repairs_for_a_year(cast: Cast) -> None:
    visit = booked(cast)
    Visit.objects.filter(pk=visit.pk).update(pack="WA")
    work = {"kind": "repair", "text": "Our affiliate mends the roof."}
    day = visit.starts_at.date()

    within = add(cast.scheduler, visit, **work, work_on=str(day + timedelta(days=200)))
    after = add(cast.scheduler, visit, **work, work_on=str(day + timedelta(days=366)))
    undated = add(cast.scheduler, visit, **work)

    assert within.status_code == 409
    assert b"until December 8, 2027" in within.content
    assert b"Our affiliate mends the roof." in within.content
    assert after.status_code == 302
    assert undated.status_code == 400
    assert b"Say on which day the work is or was done." in undated.content


def test_the_days_of_texas_begin_with_payment(cast: Cast) -> None:
    visit = booked(cast)
    ended = timezone.now() - timedelta(days=1)
    Visit.objects.filter(pk=visit.pk).update(pack="TX")
    url = reverse("payment-add", args=["northside", visit.pk])
    client = cast.scheduler.client()

    assert "days begin with payment in full" in page(cast.scheduler, visit)
    future = (timezone.now() + timedelta(days=3)).date().isoformat()
    assert client.post(url, {"paid_on": future}).status_code == 400
    assert client.post(url, {"paid_on": "soon"}).status_code == 400
    assert client.post(url, {"paid_on": ended.date().isoformat()}).status_code == 302

    text = page(cast.scheduler, visit)
    assert "days begin with payment in full" not in text
    assert "2 days after the inspection, paid before" in text


def test_a_hold_keeps_everything_and_one_stands_at_a_time(cast: Cast) -> None:
    visit = booked(cast)
    url = reverse("hold-place", args=["northside", visit.pk])
    owner = cast.owner.client()

    assert owner.post(url, {"because": ""}).status_code == 400
    assert owner.post(url, {"because": "A letter about the roof"}).status_code == 302
    assert owner.post(url, {"because": "Another letter"}).status_code == 409
    assert "Kept for good: a hold stands on this visit." in page(cast.owner, visit)

    end = reverse("hold-end", args=["northside", Hold.objects.get().pk])
    assert owner.post(end, {"because": "Settled in May"}).status_code == 302
    assert "Kept at least until December 8, 2029" in page(cast.owner, visit)
    assert "ended" in page(cast.owner, visit)


@pytest.mark.parametrize("person", ["scheduler", "reviewer"])
def test_only_the_owner_places_a_hold(cast: Cast, person: str) -> None:
    visit = booked(cast)
    url = reverse("hold-place", args=["northside", visit.pk])

    response = getattr(cast, person).client().post(url, {"because": "A letter"})

    assert response.status_code == 403
    assert not Hold.objects.exists()


def test_the_page_asks_the_database_as_often_whatever_was_recorded(
    cast: Cast,
) -> None:
    visit = booked(cast)
    client = cast.scheduler.client()

    def queries() -> int:
        with CaptureQueriesContext(connection) as seen:
            client.get(reverse("visit-asks", args=["northside", visit.pk]))
        return len(seen)

    add(cast.scheduler, visit, **TIE)
    queries()  # the first page also fills what the process keeps
    one = queries()
    for _ in range(6):
        add(cast.scheduler, visit, **TIE)

    assert queries() == one
