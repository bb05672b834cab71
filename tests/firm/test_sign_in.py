"""Signing in: words that help, and a door that closes for a while."""

import pytest
from django.core.cache import cache
from django.test import Client

from tests.support.cast import PASSWORD, Cast

pytestmark = pytest.mark.django_db


def sign_in(email: str, password: str, client: Client | None = None) -> tuple[int, str]:
    response = (client or Client()).post(
        "/sign-in/", {"username": email, "password": password}
    )
    return response.status_code, response.content.decode()


def test_the_right_password_opens_the_first_page(cast: Cast) -> None:
    client = Client()
    status, _ = sign_in(cast.scheduler.user.email.upper(), PASSWORD, client)

    assert status == 302
    assert client.get("/")["Location"] == "/f/northside/bookings/"


def test_a_wrong_one_keeps_the_address_that_was_typed(cast: Cast) -> None:
    status, page = sign_in(cast.ines.user.email, "not the password at all")

    assert status == 200
    assert "do not belong together" in page
    assert cast.ines.user.email in page


def test_five_wrong_tries_close_the_door_even_for_the_right_password(
    cast: Cast,
) -> None:
    for _ in range(5):
        sign_in(cast.ines.user.email, "not the password at all")

    assert "Too many wrong tries" in sign_in(cast.ines.user.email, PASSWORD)[1]
    cache.clear()
    assert sign_in(cast.ines.user.email, PASSWORD)[0] == 302


def test_a_disabled_member_is_out_with_the_next_request(cast: Cast) -> None:
    client = cast.scheduler.client()
    assert client.get("/f/northside/bookings/").status_code == 200

    member = cast.scheduler.member
    member.disabled_at = member.firm.created_at
    member.save()
    assert client.get("/f/northside/bookings/").status_code == 404
    assert client.get("/api/v1/visits").status_code == 403


def test_signing_out_needs_a_post(cast: Cast) -> None:
    client = cast.scheduler.client()

    assert client.get("/sign-out/").status_code == 405
    assert client.post("/sign-out/").status_code == 302
    assert client.get("/f/northside/bookings/").status_code == 302
