"""Originals beside their working copies: announced as such, listed, never shown."""

from __future__ import annotations

import hashlib
from typing import Any
from uuid import UUID, uuid4

import pytest

from firm.models import Installation
from firm.tenancy import bound
from inspections.models import PhotoFile, Visit
from tests.support.cast import Cast
from tests.support.uploads import a_jpeg, create, encoded, metadata, patch
from tests.support.visits import mutation, push

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def visit(committed_visit: Visit) -> Visit:
    Installation.objects.get_or_create()
    return committed_visit


def announced(visit: Visit, original: UUID, of: Any, content: bytes) -> dict[str, str]:
    said = metadata(visit, original, content) | {"of": str(of)}
    return {"Upload-Metadata": encoded(said)}


def listed(cast: Cast, visit: Visit) -> dict[str, dict[str, Any]]:
    answer = cast.ines.client().get(f"/api/sync/v1/visits/{visit.pk}/manifest")
    return {one["id"]: one for one in answer.json()["photos"]}


def test_an_original_is_stored_and_no_copies_are_made_of_it(
    committed: Cast, visit: Visit, asked_for: list[str]
) -> None:
    client, content = committed.ines.client(), a_jpeg(1200)
    photo, original = uuid4(), uuid4()
    said = announced(visit, original, photo, content)

    made = create(client, visit, content, original, **said)
    done = patch(client, made["Location"], 0, content)

    assert (made.status_code, done.status_code) == (201, 204)
    assert asked_for == []
    with bound(committed.northside.pk):
        assert PhotoFile.objects.get().original_of == photo
    assert listed(committed, visit)[str(original)]["of"] == str(photo)
    again = create(client, visit, content, original, **said)
    assert (again.status_code, again["Upload-Offset"]) == (201, str(len(content)))
    other = create(client, visit, content, original)
    assert (other.status_code, other.json()["code"]) == (409, "upload-differs")


def test_an_original_that_is_promised_is_listed_as_missing(
    committed: Cast, visit: Visit
) -> None:
    photo, original = str(uuid4()), str(uuid4())
    digest = hashlib.sha256(b"as the camera made it").hexdigest()
    fields = {"kind": "photo", "original": original, "original_sha256": digest}
    with bound(committed.northside.pk):
        push(
            committed.ines, visit, uuid4(),
            *(
                mutation(seq, field, value, rec=photo)
                for seq, (field, value) in enumerate(fields.items(), 1)
            ),
        )  # fmt: skip

    found = listed(committed, visit)

    assert found[original] == {
        "id": original, "sha256": digest, "size": None, "stored": False, "of": photo,
    }  # fmt: skip
    assert found[photo]["stored"] is False


@pytest.mark.parametrize("of", ["", "not an id", "itself"])
def test_an_original_names_another_photo(
    committed: Cast, visit: Visit, of: str
) -> None:
    content, original = a_jpeg(), uuid4()
    said = announced(visit, original, original if of == "itself" else of, content)

    answer = create(committed.ines.client(), visit, content, original, **said)

    assert (answer.status_code, answer.json()["field"]) == (400, "Upload-Metadata")
    with bound(committed.northside.pk):
        assert not PhotoFile.objects.exists()
