"""Uploads by tus, request by request: what is taken, what is refused, what is kept."""

import random
from datetime import UTC, datetime
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage

from firm.models import Job
from firm.tenancy import bound
from inspections.models import PhotoFile, Visit
from inspections.services import parts, uploads
from tests.support.cast import Cast
from tests.support.pictures import quarters
from tests.support.uploads import (
    PHOTOS,
    TUS,
    a_jpeg,
    checksum,
    create,
    encoded,
    metadata,
    patch,
)
from tests.support.visits import make_visit

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def visit(committed_visit: Visit) -> Visit:
    return committed_visit


def rows(cast: Cast) -> list[PhotoFile]:
    with bound(cast.northside.pk):
        return list(PhotoFile.objects.order_by("began_at"))


def test_the_server_says_what_it_understands(committed: Cast) -> None:
    answer = committed.ines.client().options(PHOTOS)

    assert answer.status_code == 204
    assert answer["Tus-Version"] == answer["Tus-Resumable"] == "1.0.0"
    assert answer["Tus-Extension"] == "creation,checksum,expiration,termination"
    assert answer["Tus-Checksum-Algorithm"] == "sha256,sha1"
    assert answer["Tus-Max-Size"] == "41943040"


def test_a_photo_arrives_in_pieces_and_is_stored(
    committed: Cast, visit: Visit, asked_for: list[str]
) -> None:
    client, content, photo_id = committed.ines.client(), a_jpeg(), uuid4()

    made = create(client, visit, content, photo_id)

    assert (made.status_code, made["Upload-Offset"]) == (201, "0")
    assert made["Location"] == f"{PHOTOS}{photo_id}"
    assert "Upload-Expires" in made
    half = len(content) // 2
    first = patch(
        client,
        made["Location"],
        0,
        content[:half],
        **{"Upload-Checksum": checksum(content[:half])},
    )
    assert (first.status_code, first["Upload-Offset"]) == (204, str(half))
    assert asked_for == []
    last = patch(
        client,
        made["Location"],
        half,
        content[half:],
        **{"Upload-Checksum": checksum(content[half:], "sha1")},
    )
    assert (last.status_code, last["Upload-Offset"]) == (204, str(len(content)))
    head = client.head(made["Location"], headers=TUS)
    assert (head["Upload-Offset"], head["Upload-Length"]) == (str(len(content)),) * 2
    assert head["Cache-Control"] == "no-store"
    (row,) = rows(committed)
    assert (row.state, row.media) == ("STORED", "image/jpeg")
    with default_storage.open(row.storage_key) as file:
        assert file.read() == content
    assert asked_for == [str(photo_id)]
    assert not parts.path_of(row).exists()


def test_announcing_again_answers_how_far_it_is(committed: Cast, visit: Visit) -> None:
    client, content, photo_id = committed.ines.client(), a_jpeg(), uuid4()
    made = create(client, visit, content, photo_id)
    patch(client, made["Location"], 0, content[:100])

    again = create(client, visit, content, photo_id)

    assert (again.status_code, again["Upload-Offset"]) == (201, "100")
    other = create(client, visit, content + b"x", photo_id)
    assert (other.status_code, other.json()["code"]) == (409, "upload-differs")


def test_a_file_the_firm_has_is_not_sent_again(
    committed: Cast, visit: Visit, asked_for: list[str]
) -> None:
    client, content = committed.ines.client(), a_jpeg()
    patch(client, create(client, visit, content)["Location"], 0, content)

    twin = create(client, visit, content)

    assert (twin.status_code, twin["Upload-Offset"]) == (201, str(len(content)))
    assert [row.state for row in rows(committed)] == ["STORED", "STORED"]
    assert len(set(asked_for)) == 2


def test_no_firm_learns_what_another_firm_has(
    committed: Cast, visit: Visit, asked_for: list[str]
) -> None:
    client, content = committed.ines.client(), a_jpeg()
    patch(client, create(client, visit, content)["Location"], 0, content)
    with bound(committed.elsewhere.pk):
        theirs = make_visit(committed.stranger)

    answer = create(committed.stranger.client(), theirs, content)

    assert (answer.status_code, answer["Upload-Offset"]) == (201, "0")


def test_bytes_other_than_announced_begin_again(
    committed: Cast, visit: Visit, asked_for: list[str]
) -> None:
    client, content = committed.ines.client(), a_jpeg()
    url = create(client, visit, content)["Location"]
    broken = content[:-1] + bytes([content[-1] ^ 1])

    answer = patch(client, url, 0, broken)

    assert (answer.status_code, answer.json()["code"]) == (460, "digest-mismatch")
    assert client.head(url, headers=TUS)["Upload-Offset"] == "0"
    (row,) = rows(committed)
    assert (row.state, row.mismatches) == ("RECEIVING", 1)
    assert not default_storage.exists(row.storage_key)
    assert asked_for == []
    assert patch(client, url, 0, content).status_code == 204


def test_a_piece_changed_on_its_way_is_not_added(committed: Cast, visit: Visit) -> None:
    client, content = committed.ines.client(), a_jpeg()
    url = create(client, visit, content)["Location"]

    said = checksum(content[:100])
    answer = patch(client, url, 0, content[:99] + b"?", **{"Upload-Checksum": said})

    assert (answer.status_code, answer.json()["code"]) == (460, "piece-mismatch")
    assert client.head(url, headers=TUS)["Upload-Offset"] == "0"


def test_a_piece_that_does_not_fit_is_refused(committed: Cast, visit: Visit) -> None:
    client, content = committed.ines.client(), a_jpeg()
    url = create(client, visit, content)["Location"]

    assert patch(client, url, 5, content[5:]).json()["code"] == "wrong-offset"
    assert patch(client, url, 0, content + b"x").status_code == 413
    assert patch(client, url, 0, b"x" * (1024 * 1024 + 1)).status_code == 413
    assert client.head(url, headers=TUS)["Upload-Offset"] == "0"


@pytest.mark.parametrize(
    "content",
    [b"GIF89a" + b"x" * 200, b"<svg xmlns='x'/>", b"%PDF-1.7" + b"x" * 99, b"MZ", b"x"],
)
def test_what_is_no_picture_is_not_stored(
    committed: Cast, visit: Visit, content: bytes, asked_for: list[str]
) -> None:
    client = committed.ines.client()
    url = create(client, visit, content)["Location"]

    answer = patch(client, url, 0, content)

    assert (answer.status_code, answer.json()["code"]) == (415, "not-a-picture")
    assert [row.state for row in rows(committed)] == ["RECEIVING"]
    assert asked_for == []


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_other_pictures_are_told_by_their_content(
    committed: Cast, visit: Visit, kind: str, asked_for: list[str]
) -> None:
    from io import BytesIO

    held = BytesIO()
    quarters().save(held, kind)
    client, content = committed.ines.client(), held.getvalue()

    patch(client, create(client, visit, content)["Location"], 0, content)

    assert rows(committed)[0].media == f"image/{kind.lower()}"


def test_an_unfinished_upload_can_be_given_up_and_begun_anew(
    committed: Cast, visit: Visit, asked_for: list[str]
) -> None:
    client, content, photo_id = committed.ines.client(), a_jpeg(), uuid4()
    url = create(client, visit, content, photo_id)["Location"]
    patch(client, url, 0, content[:100])

    assert client.delete(url, headers=TUS).status_code == 204

    assert client.head(url, headers=TUS).status_code == 410
    assert not parts.path_of(rows(committed)[0]).exists()
    assert create(client, visit, content, photo_id)["Upload-Offset"] == "0"
    assert patch(client, url, 0, content).status_code == 204
    stored = client.delete(url, headers=TUS)
    assert (stored.status_code, stored.json()["code"]) == (409, "upload-finished")


def test_an_upload_runs_out_after_thirty_days(committed: Cast, visit: Visit) -> None:
    client, content = committed.ines.client(), a_jpeg()
    url = create(client, visit, content)["Location"]
    patch(client, url, 0, content[:100])
    with bound(committed.northside.pk):
        PhotoFile.objects.update(expires_at=datetime(2026, 1, 1, tzinfo=UTC))

    dropped = uploads.drop_expired(
        actor=committed.owner.actor, now=datetime(2026, 1, 2, tzinfo=UTC)
    )

    assert dropped == 1
    assert client.head(url, headers=TUS).status_code == 410
    assert not parts.path_of(rows(committed)[0]).exists()


def test_room_is_given_back_when_the_next_photo_comes(
    committed: Cast, visit: Visit
) -> None:
    client = committed.ines.client()
    url = create(client, visit, a_jpeg())["Location"]
    patch(client, url, 0, a_jpeg()[:100])
    with bound(committed.northside.pk):
        PhotoFile.objects.update(expires_at=datetime(2026, 1, 1, tzinfo=UTC))
        Job.objects.all().delete()  # as on the next day

    create(client, visit, a_jpeg(900))

    assert [row.state for row in rows(committed)] == ["DROPPED", "RECEIVING"]


def test_bytes_a_disk_has_lost_are_asked_for_again(
    committed: Cast, visit: Visit, asked_for: list[str]
) -> None:
    client, content = committed.ines.client(), a_jpeg()
    url = create(client, visit, content)["Location"]
    patch(client, url, 0, content[:500])
    parts.path_of(rows(committed)[0]).write_bytes(content[:200])

    assert client.head(url, headers=TUS)["Upload-Offset"] == "200"
    assert patch(client, url, 500, content[500:]).status_code == 409
    assert patch(client, url, 200, content[200:]).status_code == 204


def test_bytes_beyond_the_offset_are_cut_off(
    committed: Cast, visit: Visit, asked_for: list[str]
) -> None:
    client, content = committed.ines.client(), a_jpeg()
    url = create(client, visit, content)["Location"]
    patch(client, url, 0, content[:500])
    with parts.path_of(rows(committed)[0]).open("ab") as file:
        file.write(b"left by a crash before its commit")

    assert client.head(url, headers=TUS)["Upload-Offset"] == "500"
    assert patch(client, url, 500, content[500:]).status_code == 204


def test_only_the_visits_own_inspector_sends_photos(
    committed: Cast, visit: Visit
) -> None:
    content, photo_id = a_jpeg(), uuid4()
    url = create(committed.ines.client(), visit, content, photo_id)["Location"]
    people = [(committed.owner, 403), (committed.omar, 404), (committed.stranger, 404)]

    for person, status in people:
        client = person.client()
        assert create(client, visit, content).status_code == status
        assert client.head(url, headers=TUS).status_code == status
        assert patch(client, url, 0, content).status_code == status
        assert client.delete(url, headers=TUS).status_code == status
    with bound(committed.elsewhere.pk):
        theirs = make_visit(committed.stranger)
    taken = create(committed.stranger.client(), theirs, content, photo_id)
    assert (taken.status_code, taken.json()["code"]) == (409, "upload-differs")


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Tus-Resumable": "0.2.2"}, 412),
        ({"Upload-Length": "0"}, 400),
        ({"Upload-Length": "41943041"}, 400),
        ({"Upload-Length": "x"}, 400),
        ({"Upload-Metadata": ""}, 400),
        ({"Upload-Metadata": "photo ???"}, 400),
        ({"Upload-Metadata": encoded({"photo": "1", "visit": "2"})}, 400),
    ],
)
def test_a_bad_announcement_is_refused(
    committed: Cast, visit: Visit, headers: dict[str, str], status: int
) -> None:
    answer = create(committed.ines.client(), visit, a_jpeg(), None, **headers)

    assert answer.status_code == status
    assert set(answer.json()) == {"code", "message", "field", "details"}
    assert rows(committed) == []


def test_a_digest_must_be_written_out(committed: Cast, visit: Visit) -> None:
    said = metadata(visit, uuid4(), b"x") | {"sha256": "A" * 64}

    answer = create(
        committed.ines.client(), visit, b"x", None, **{"Upload-Metadata": encoded(said)}
    )

    assert answer.json()["field"] == "Upload-Metadata"


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Tus-Resumable": "2"}, 412),
        ({"Upload-Offset": "x"}, 400),
        ({"Upload-Checksum": "md5 AAAA"}, 400),
        ({"Upload-Checksum": "sha256 ?"}, 400),
    ],
)
def test_a_bad_piece_is_refused(
    committed: Cast, visit: Visit, headers: dict[str, str], status: int
) -> None:
    client, content = committed.ines.client(), a_jpeg()
    url = create(client, visit, content)["Location"]

    assert patch(client, url, 0, content[:9], **headers).status_code == status
    assert client.head(url, headers=TUS)["Upload-Offset"] == "0"


def test_any_cuts_and_repeats_end_in_the_same_bytes(
    committed: Cast, visit: Visit, asked_for: list[str]
) -> None:
    seed = random.randrange(2**32)
    dice = random.Random(seed)
    client, content = committed.ines.client(), a_jpeg()
    url = create(client, visit, content)["Location"]
    sent = 0
    while sent < len(content):
        end = min(len(content), sent + dice.randrange(1, len(content) // 6))
        patch(client, url, sent, content[sent:end])
        if dice.random() < 0.3:  # the answer was lost: the same piece again
            assert patch(client, url, sent, content[sent:end]).status_code == 409
        sent = int(client.head(url, headers=TUS)["Upload-Offset"])

    (row,) = rows(committed)
    with default_storage.open(row.storage_key) as file:
        assert file.read() == content, f"seed {seed}"
