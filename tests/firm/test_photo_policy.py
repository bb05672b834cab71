"""The owner decides what phones send of a picture; phones read it in the book."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from firm import audit
from firm.errors import NotAllowed
from firm.models import AuditEntry, Firm
from firm.services import photo_policy
from tests.support.cast import Cast

pytestmark = pytest.mark.django_db
PAGE = reverse("firm-photos", args=["northside"])
BOOK = "/api/v1/book"
GIVEN = {"originals": "keep", "long_edge": "2048", "quality": "75"}


def entries() -> list[AuditEntry]:
    return list(AuditEntry.objects.filter(event="photo_policy.decided"))


def test_the_owner_decides_and_phones_read_it(cast: Cast) -> None:
    phone = cast.ines.client()
    before = phone.get(BOOK)
    assert before.json()["photo_policy"] == {
        "originals": False, "long_edge": 2560, "quality": 82,
    }  # fmt: skip

    answer = cast.owner.client().post(PAGE, GIVEN, follow=True)

    assert "as soon as it has fetched its day again" in answer.content.decode()
    after = phone.get(BOOK)
    assert after.json()["photo_policy"] == {
        "originals": True, "long_edge": 2048, "quality": 75,
    }  # fmt: skip
    assert after.headers["ETag"] != before.headers["ETag"]
    theirs = cast.stranger.client().get(BOOK).json()["photo_policy"]
    assert theirs["originals"] is False


def test_the_chain_says_who_decided_what(cast: Cast) -> None:
    owner = cast.owner.client()
    owner.post(PAGE, GIVEN)
    again = owner.post(PAGE, GIVEN, follow=True)

    (entry,) = entries()
    assert entry.who == "Olive Owner"
    assert entry.subject == f"firm:{cast.northside.pk}"
    assert entry.detail["before"]["long_edge"] == 2560
    assert entry.detail["after"] == {
        "originals": True, "long_edge": 2048, "quality": 75,
    }  # fmt: skip
    assert "It was so already." in again.content.decode()
    assert audit.first_bad_entry(cast.owner.actor) is None


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("long_edge", "1599", "The least that can be is 1600."),
        ("long_edge", "9000", "The most that can be is 8000."),
        ("long_edge", "two thousand", "Write a whole number from 1600 to 8000"),
        ("quality", "", "Write a whole number from 60 to 95."),
        ("quality", "59", "The least that can be is 60."),
        ("originals", "burn", "Choose one of those listed."),
    ],
)
def test_bad_input_says_what_to_do_and_loses_nothing(
    cast: Cast, field: str, typed: str, said: str
) -> None:
    answer = cast.owner.client().post(PAGE, GIVEN | {field: typed})

    page = answer.content.decode()
    assert answer.status_code == 400
    assert said in page
    assert "What you typed is still here." in page
    for name, value in (GIVEN | {field: typed}).items():
        if name != "originals":
            assert f'name="{name}" value="{value}"' in page or not value
    if field != "originals":
        assert 'value="keep" id="id_originals_1" checked' in page
    assert entries() == []
    assert photo_policy.of(Firm.objects.get(slug="northside")).long_edge == 2560


def test_only_the_owner_decides(cast: Cast) -> None:
    policy = photo_policy.PhotoPolicy(originals=True, long_edge=2000, quality=80)

    with pytest.raises(NotAllowed):
        photo_policy.decide(actor=cast.reviewer.actor, policy=policy)
    assert cast.scheduler.client().post(PAGE, GIVEN).status_code == 403
    assert cast.stranger.client().post(PAGE, GIVEN).status_code == 404


@pytest.mark.parametrize("wrong", [{"photo_long_edge": 500}, {"photo_quality": 99}])
def test_the_database_holds_the_limits(cast: Cast, wrong: dict[str, Any]) -> None:
    with (
        pytest.raises(IntegrityError, match="firm_photo_copy_fit_to_print"),
        transaction.atomic(),
    ):
        Firm.objects.filter(pk=cast.northside.pk).update(**wrong)
