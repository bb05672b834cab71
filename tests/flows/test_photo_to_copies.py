"""A photo from a phone to the copies that are served, with the real work run."""

from typing import Any
from uuid import uuid4

import pytest

from findings.models import Rendition
from firm import storage
from firm.tenancy import bound
from inspections.models import PhotoFile, Visit
from tests.support.cast import Cast, make_cast
from tests.support.uploads import a_jpeg, create, patch
from tests.support.visits import make_visit

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]


@pytest.fixture
def committed(transactional_db: None) -> tuple[Cast, Visit]:
    from django.db import transaction

    from firm.models import Installation

    Installation.objects.get_or_create()
    with transaction.atomic():
        people = make_cast()
        return people, make_visit(people.ines)


def send(people: Cast, visit: Visit, content: bytes) -> tuple[PhotoFile, list[Any]]:
    client, photo_id = people.ines.client(), uuid4()
    url = create(client, visit, content, photo_id)["Location"]
    assert patch(client, url, 0, content).status_code == 204
    with bound(people.northside.pk):
        photo = PhotoFile.objects.get(pk=photo_id)
        return photo, list(Rendition.objects.filter(photo=photo))


def test_a_stored_photo_gets_its_copies(committed: tuple[Cast, Visit]) -> None:
    photo, copies = send(*committed, a_jpeg())

    assert (photo.state, photo.trouble) == ("STORED", "")
    assert {copy.size for copy in copies} == set(Rendition.Size.values)


@pytest.mark.parametrize(
    "content", [b"\xff\xd8\xff\xe0" + b"no picture at all" * 20, a_jpeg()[:900]]
)
def test_bytes_without_a_picture_are_kept_and_the_reason_said(
    committed: tuple[Cast, Visit], content: bytes
) -> None:
    photo, copies = send(*committed, content)

    assert photo.state == "STORED"
    assert photo.trouble
    assert copies == []
    assert storage.get(photo.storage_key) == content
