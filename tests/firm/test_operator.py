"""The operator's pages: closed to every firm, and blind to what firms hold."""

import pytest
from django.test import Client

from firm.models import User
from tests.support.cast import PASSWORD, Cast

pytestmark = pytest.mark.django_db

PAGES = ("/operator/", "/operator/firm/firm/", "/operator/firm/user/")


@pytest.fixture
def operator(cast: Cast) -> Client:
    user = User.objects.create_superuser("op@host.example", PASSWORD, name="Op")
    client = Client()
    client.force_login(user)
    return client


@pytest.mark.parametrize("page", PAGES)
def test_no_role_of_a_firm_opens_them(cast: Cast, page: str) -> None:
    for person in (cast.owner, cast.scheduler, cast.reviewer, cast.ines):
        response = person.client().get(page)
        assert response.status_code == 302
        assert "/operator/login/" in response["Location"]


@pytest.mark.parametrize("page", PAGES)
def test_the_operator_sees_firms_and_accounts(operator: Client, page: str) -> None:
    assert operator.get(page).status_code == 200


def test_the_operator_belongs_to_no_firm(operator: Client) -> None:
    assert operator.get("/f/northside/bookings/").status_code == 404
    assert operator.get("/api/v1/visits").status_code == 403


def test_a_firm_cannot_be_deleted_here(operator: Client, cast: Cast) -> None:
    address = f"/operator/firm/firm/{cast.northside.pk}/delete/"

    assert operator.post(address, {"post": "yes"}).status_code == 403
