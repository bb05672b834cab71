"""Signing in and out without leaving the page, as the field client does."""

import pytest
from django.test import Client

from tests.support.cast import PASSWORD, Cast

pytestmark = pytest.mark.django_db
DOOR = "/api/session/sign-in"


def browser() -> tuple[Client, str]:
    client = Client(enforce_csrf_checks=True)
    return client, client.get(DOOR).json()["csrf"]


def post(client: Client, token: str, email: str, password: str):
    return client.post(
        DOOR,
        {"email": email, "password": password},
        content_type="application/json",
        headers={"X-CSRFToken": token},
    )


def test_the_right_pair_opens_the_session(cast: Cast):
    client, token = browser()

    answer = post(client, token, cast.ines.user.email, PASSWORD)

    assert answer.status_code == 200
    assert client.get("/api/session").json()["name"] == cast.ines.member.name


def test_a_wrong_pair_is_told_in_words_and_opens_nothing(cast: Cast):
    client, token = browser()

    answer = post(client, token, cast.ines.user.email, "something else")

    assert answer.status_code == 400
    assert "do not belong together" in answer.json()["message"]
    assert client.get("/api/session").status_code == 401


def test_five_wrong_tries_close_this_door_as_well(cast: Cast):
    client, token = browser()
    for _ in range(5):
        post(client, token, cast.omar.user.email, "something else")

    answer = post(client, token, cast.omar.user.email, PASSWORD)

    assert answer.status_code == 400
    assert "Too many wrong tries" in answer.json()["message"]


def test_without_the_token_nobody_is_signed_in(cast: Cast):
    client = Client(enforce_csrf_checks=True)

    answer = post(client, "", cast.ines.user.email, PASSWORD)

    assert answer.status_code == 403
    assert client.get("/api/session").status_code == 401


@pytest.mark.parametrize("body", [b"", b"[]", b'{"email": 7}', b"{"])
def test_a_body_that_is_no_form_is_refused_kindly(cast: Cast, body: bytes):
    client, token = browser()

    answer = client.post(
        DOOR, body, content_type="application/json", headers={"X-CSRFToken": token}
    )

    assert answer.status_code == 400
    assert answer.json()["message"]


def test_signing_out_ends_the_session(cast: Cast):
    client = cast.ines.client()

    answer = client.post("/api/session/sign-out")

    assert answer.status_code == 204
    assert client.get("/api/session").status_code == 401
