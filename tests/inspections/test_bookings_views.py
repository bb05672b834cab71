"""Booking, the agreement and its signatures, from the outside."""

import re
from datetime import date, timedelta
from typing import Any

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse

from inspections.models import AgreementSignature, Contact, Party, Property, Visit
from tests.support.cast import Cast

pytestmark = pytest.mark.django_db

DAY = date(2026, 12, 8)


def asked(cast: Cast, **other: Any) -> dict[str, Any]:
    return {
        "purpose": "purchase",
        "street": "14 Alder Row",
        "city": "Quarry Ford",
        "state": "nc",
        "postcode": "27000",
        "time_zone": "America/New_York",
        "kind": "detached",
        "built_from": "1994",
        "built_source": "tax_record",
        "client_name": "Ada Buyer",
        "client_email": "ada@example.net",
        "second_client_name": "Ben Buyer",
        "second_client_email": "ben@example.net",
        "agent_name": "Ann Agent",
        "agent_email": "ann@example.org",
        "inspector": str(cast.ines.member.pk),
        "starts_on": DAY.isoformat(),
        "starts_at": "09:00",
        "hours": "3",
        "fee_dollars": "525",
        **other,
    }


def book(cast: Cast, client: Client | None = None, **other: Any) -> Any:
    client = client or cast.scheduler.client()
    return client.post(reverse("booking-new", args=["northside"]), asked(cast, **other))


def booked(cast: Cast) -> Visit:
    response = book(cast)
    assert response.status_code == 302, response.content
    return Visit.objects.select_related("property").get()


def test_a_booking_keeps_what_was_said_on_the_phone(cast: Cast) -> None:
    visit = booked(cast)

    assert visit.property.state == "NC"
    assert visit.starts_at.isoformat() == "2026-12-08T14:00:00+00:00"
    assert visit.agreed_wall_time == "2026-12-08 09:00 America/New_York"
    assert visit.number == "R-2026-0001"
    parts = sorted(Party.objects.values_list("part", "contact__name"))
    assert parts == [
        ("AGENT", "Ann Agent"),
        ("CLIENT", "Ada Buyer"),
        ("CLIENT", "Ben Buyer"),
    ]


def test_one_person_with_one_address_stays_one_contact(cast: Cast) -> None:
    book(cast)
    book(cast, starts_at="14:00")

    assert Contact.objects.filter(email="ann@example.org").count() == 1


def test_an_inspector_cannot_be_in_two_places(cast: Cast) -> None:
    booked(cast)

    response = book(cast, starts_at="11:59", street="9 Other Road")
    assert response.status_code == 400
    assert b"has another visit in that time" in response.content
    assert b"9 Other Road" in response.content
    assert Property.objects.count() == 1


def test_visits_may_touch(cast: Cast) -> None:
    booked(cast)

    assert book(cast, starts_at="12:00").status_code == 302


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"starts_on": "2027-03-14", "starts_at": "02:30"}, b"clocks skip 02:30"),
        ({"starts_on": "2026-11-01", "starts_at": "01:30"}, b"01:30 twice"),
        ({"starts_on": "2031-01-07"}, b"holds no licence for NC"),
        ({"state": "VA"}, b"The standard of VA is not switched on"),
        ({"client_name": ""}, b"client_name"),
        ({"built_to": "1980"}, b"The later year comes before"),
        ({"hours": "three"}, b"Write a whole number"),
    ],
)
def test_bad_input_is_named_and_nothing_typed_is_lost(
    cast: Cast, wrong: dict[str, str], words: bytes
) -> None:
    response = book(cast, None, **wrong)

    assert response.status_code == 400
    assert words in response.content
    assert b"14 Alder Row" in response.content
    assert Visit.objects.count() == 0


def test_another_firms_inspector_is_unknown(cast: Cast) -> None:
    response = book(cast, inspector=str(cast.stranger.member.pk))

    assert response.status_code == 400
    assert Visit.objects.count() == 0


def test_an_inspector_may_not_book(cast: Cast) -> None:
    assert book(cast, cast.ines.client()).status_code == 403


def test_the_list_asks_the_same_however_many_visits(
    cast: Cast, django_assert_num_queries: Any
) -> None:
    client = cast.scheduler.client()
    address = reverse("booking-list", args=["northside"]) + f"?day={DAY}"
    counts = []
    for hour in ("08:00", "11:00", "14:00"):
        book(cast, client, starts_at=hour)
        with django_assert_num_queries(20, exact=False) as caught:
            assert client.get(address).status_code == 200
        counts.append(len(caught))

    assert len(set(counts)) == 1


def send(cast: Cast, visit: Visit) -> None:
    client = cast.scheduler.client()
    page = client.get(reverse("booking-read", args=["northside", visit.pk]))
    text = page.context["form"].initial["text"]
    assert "Ada Buyer and Ben Buyer" in text
    address = reverse("agreement-send", args=["northside", visit.pk])
    assert client.post(address, {"text": text}).status_code == 302


def links() -> list[str]:
    found = [re.search(r"http://testserver(/s/\S+)", str(m.body)) for m in mail.outbox]
    return [match.group(1) for match in found if match]


def test_each_client_signs_by_a_link_of_their_own(
    cast: Cast, django_capture_on_commit_callbacks: Any
) -> None:
    visit = booked(cast)
    with django_capture_on_commit_callbacks(execute=True):
        send(cast, visit)

    first, second = links()
    assert first != second
    nobody = Client()
    assert b"Agreement" in nobody.get(first).content
    assert AgreementSignature.objects.filter(signed_at__isnull=False).count() == 0

    unticked = nobody.post(first, {"name": "Ada Buyer"})
    assert unticked.status_code == 400
    assert b"Tick this to sign" in unticked.content
    assert b"Ada Buyer" in unticked.content

    assert nobody.post(first, {"name": "Ada Buyer", "agree": "on"}).status_code == 302
    assert b"Signed by Ada Buyer" in nobody.get(first).content
    assert AgreementSignature.objects.filter(signed_at__isnull=False).count() == 1


def test_signing_twice_is_refused_in_words(
    cast: Cast, django_capture_on_commit_callbacks: Any
) -> None:
    visit = booked(cast)
    with django_capture_on_commit_callbacks(execute=True):
        send(cast, visit)
    link = links()[0]
    Client().post(link, {"name": "Ada Buyer", "agree": "on"})

    again = Client().post(link, {"name": "Someone Else", "agree": "on"})
    assert b"Signed by Ada Buyer" in again.content
    signed = AgreementSignature.objects.get(signed_at__isnull=False)
    assert signed.signed_name == "Ada Buyer"


def test_a_link_that_ran_out_shows_no_agreement(
    cast: Cast, django_capture_on_commit_callbacks: Any
) -> None:
    visit = booked(cast)
    with django_capture_on_commit_callbacks(execute=True):
        send(cast, visit)
    for row in AgreementSignature.objects.all():
        AgreementSignature.objects.filter(pk=row.pk).update(
            expires_at=row.expires_at - timedelta(days=60)
        )

    response = Client().get(links()[0])
    assert response.status_code == 410
    assert b"Alder" not in response.content


def test_a_guessed_link_is_unknown(cast: Cast) -> None:
    assert Client().get("/s/" + "x" * 43).status_code == 404


def test_the_frozen_text_does_not_change(
    cast: Cast, django_capture_on_commit_callbacks: Any
) -> None:
    visit = booked(cast)
    with django_capture_on_commit_callbacks(execute=True):
        send(cast, visit)
    address = reverse("agreement-send", args=["northside", visit.pk])
    cast.scheduler.client().post(address, {"text": "Something quite different"})

    assert b"quite different" not in Client().get(links()[0]).content
