"""A device's word that a visit is whole: checked, kept once, told to the office."""

from __future__ import annotations

from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import Error, transaction
from django.urls import reverse

from firm.models import Installation
from inspections.models import ManifestProof, PhotoFile, Visit
from tests.support.cast import Cast, Person
from tests.support.visits import STARTS, make_visit, mutation, push

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(cast: Cast) -> Visit:
    Installation.objects.get_or_create()
    return make_visit(cast.ines)


@pytest.fixture
def device(cast: Cast, visit: Visit) -> UUID:
    made = uuid4()
    photo = mutation(1, "kind", "photo")
    push(cast.ines, visit, made, photo, mutation(2, "kind", "stop"))
    PhotoFile.objects.create(
        pk=photo["rec"], firm=cast.northside, visit=visit, by=cast.ines.member,
        sha256="a" * 64, size=3, offset=3, state=PhotoFile.State.STORED,
        expires_at=STARTS,
    )  # fmt: skip
    return made


def address(visit: Visit) -> str:
    return f"/api/sync/v1/visits/{visit.pk}/manifest"


def compared(cast: Cast, visit: Visit, device: UUID) -> dict[str, Any]:
    held = cast.ines.client().get(address(visit)).json()
    return {"device": str(device), "client": "7", "count": held["count"],
            "digest": held["digest"]}  # fmt: skip


def post(who: Person, visit: Visit, said: Any) -> Any:
    return who.client().post(address(visit), said, content_type="application/json")


def booking(cast: Cast, visit: Visit) -> str:
    page = reverse("booking-read", args=["northside", visit.pk])
    return cast.scheduler.client().get(page).content.decode()


def test_it_is_kept_with_who_which_device_when_and_digest(
    cast: Cast, visit: Visit, device: UUID
) -> None:
    said = compared(cast, visit, device)
    assert "all on the server" not in booking(cast, visit)

    answer = post(cast.ines, visit, said)

    assert answer.status_code == 200
    row = ManifestProof.objects.get()
    assert (row.by, row.device_id, row.digest) == (
        cast.ines.member, device, said["digest"],
    )  # fmt: skip
    assert (row.version, row.count, row.photos) == (2, 2, 1)
    told = answer.json()
    assert (told["sync"], told["photos"], told["count"]) == (1, 1, 2)
    page = booking(cast, visit)
    assert "2 entries, 1 photo: all on the server, confirmed by Ines Field" in page
    walk = reverse("visit-read", args=["northside", visit.pk])
    assert "1 photo: all on the server" in (
        cast.owner.client().get(walk).content.decode()
    )


def test_told_again_it_is_the_same_note(cast: Cast, visit: Visit, device: UUID) -> None:
    said = compared(cast, visit, device)
    first = post(cast.ines, visit, said).json()

    again = post(cast.ines, visit, said)

    assert (again.status_code, again.json()) == (200, first)
    assert ManifestProof.objects.count() == 1
    # Another phone of the same person proves it for itself.
    assert post(cast.ines, visit, said | {"device": str(uuid4())}).status_code == 200
    assert ManifestProof.objects.count() == 2


def test_what_came_since_is_said(cast: Cast, visit: Visit, device: UUID) -> None:
    said = compared(cast, visit, device)
    post(cast.ines, visit, said)
    push(cast.ines, visit, device, mutation(3, "kind", "note"))

    assert "1 entry has come since." in booking(cast, visit)
    stale = post(cast.ines, visit, said)
    assert (stale.status_code, stale.json()["code"]) == (409, "manifest-differs")


@pytest.mark.parametrize(
    ("wrong", "status", "code"),
    [
        ({"digest": "0" * 64}, 409, "manifest-differs"),
        ({"count": 3}, 409, "manifest-differs"),
        ({"digest": "no digest"}, 400, "bad-input"),
        ({"device": "mine"}, 400, "bad-input"),
        ({"count": None}, 400, "bad-input"),
    ],
)
def test_a_wrong_word_is_refused(
    cast: Cast, visit: Visit, device: UUID, wrong: dict[str, Any], status: int,
    code: str,
) -> None:  # fmt: skip
    answer = post(cast.ines, visit, compared(cast, visit, device) | wrong)

    assert (answer.status_code, answer.json()["code"]) == (status, code)
    assert not ManifestProof.objects.exists()
    assert "all on the server" not in booking(cast, visit)


def test_nothing_is_whole_while_a_picture_is_missing(
    cast: Cast, visit: Visit, device: UUID
) -> None:
    said = compared(cast, visit, device)
    PhotoFile.objects.update(state=PhotoFile.State.RECEIVING, offset=1)

    answer = post(cast.ines, visit, said)

    assert (answer.status_code, answer.json()["code"]) == (409, "photos-missing")


def test_only_who_records_there_may_say_so(
    cast: Cast, visit: Visit, device: UUID
) -> None:
    said = compared(cast, visit, device)

    for who, status in ((cast.stranger, 404), (cast.omar, 404), (cast.owner, 403)):
        assert post(who, visit, said).status_code == status
    assert not ManifestProof.objects.exists()


def test_a_device_of_somebody_else_is_refused(
    cast: Cast, visit: Visit, device: UUID
) -> None:
    theirs, other = uuid4(), make_visit(cast.omar, "R-2026-0002")
    push(cast.omar, other, theirs, mutation(1, "kind", "stop"))

    answer = post(cast.ines, visit, compared(cast, visit, theirs))

    assert (answer.status_code, answer.json()["code"]) == (409, "other-device")


def test_a_note_is_never_changed(cast: Cast, visit: Visit, device: UUID) -> None:
    post(cast.ines, visit, compared(cast, visit, device))

    with pytest.raises(Error, match="append-only"), transaction.atomic():
        ManifestProof.objects.update(count=99)
