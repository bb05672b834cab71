"""A phone's preview of a photo: taken, shown while the photo is missing, superseded."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from findings.models import PhotoPreview
from firm.models import Installation
from inspections.models import PhotoFile, Visit
from tests.support.cast import Cast, Person
from tests.support.pictures import (
    CORNERS,
    corners_of,
    near,
    opened,
    photo,
    png_bomb,
    quarters,
    saved,
)
from tests.support.visits import make_visit
from tests.support.walked import Walk, walk

pytestmark = pytest.mark.django_db
SMALL = photo(quarters(320, 240), gps=True, comment=b"said by nobody")


@pytest.fixture
def walked(cast: Cast) -> Walk:
    Installation.objects.get_or_create()
    made = walk(cast)
    made.record(
        **{
            "ph-1": {
                "kind": "photo", "stop": "s-svc", "about": "sp-13", "use": "shows_it",
                "taken_at": "2026-11-24T15:05:00Z",
            }
        }
    )  # fmt: skip
    return made


def address(visit: Visit, photo_id: str) -> str:
    return f"/api/sync/v1/visits/{visit.pk}/photos/{photo_id}/preview"


def put(who: Person, walked: Walk, content: bytes = SMALL, name: str = "ph-1") -> Any:
    return who.client().put(
        address(walked.visit, walked.id(name)), content, content_type="image/jpeg"
    )


def shown(who: Person, walked: Walk, size: str = "preview") -> Any:
    page = reverse("photo-read", args=["northside", walked.id("ph-1"), size])
    return who.client().get(page)


def stop_page(walked: Walk) -> str:
    page = reverse("stop-read", args=["northside", walked.visit.pk, walked.id("s-svc")])
    return walked.cast.owner.client().get(page).content.decode()


def test_it_is_made_anew_and_shown_where_the_photo_is_missing(walked: Walk) -> None:
    before = stop_page(walked)
    assert "The picture itself has not arrived." in before
    assert "Preview from the phone" not in before

    assert put(walked.cast.ines, walked).status_code == 204

    page = stop_page(walked)
    assert "Preview from the phone. The picture itself has not arrived." in page
    assert ", a small preview" in page
    for who in (walked.cast.owner, walked.cast.reviewer, walked.cast.ines):
        answer = shown(who, walked)
        assert answer["Content-Type"] == "image/jpeg"
        assert answer["Cache-Control"] == "private, no-store"
    assert answer.content != SMALL
    assert b"said by nobody" not in answer.content
    assert not opened(answer.content).getexif()
    assert opened(answer.content).size == (320, 240)
    assert all(map(near, corners_of(answer.content), CORNERS))


def test_the_same_again_changes_nothing_and_a_newer_one_replaces_it(
    walked: Walk,
) -> None:
    put(walked.cast.ines, walked)
    first = PhotoPreview.objects.get()

    assert put(walked.cast.ines, walked).status_code == 204
    assert PhotoPreview.objects.get().got_at == first.got_at
    other = photo(quarters(240, 320))
    assert put(walked.cast.ines, walked, other).status_code == 204
    row = PhotoPreview.objects.get()
    assert (row.width, row.height) == (240, 320)


def test_it_goes_when_the_photos_own_copies_are_made(walked: Walk) -> None:
    put(walked.cast.ines, walked)
    walked.picture("ph-1", stop="s-svc", about="sp-13", use="shows_it")

    assert not PhotoPreview.objects.exists()
    assert shown(walked.cast.owner, walked).status_code == 404
    assert shown(walked.cast.owner, walked, "thumb").status_code == 200
    assert "Preview from the phone" not in stop_page(walked)
    # One that comes too late is thanked for and not kept.
    assert put(walked.cast.ines, walked).status_code == 204
    assert not PhotoPreview.objects.exists()


def test_it_stays_where_no_copy_can_be_made(walked: Walk) -> None:
    put(walked.cast.ines, walked)
    file = walked.picture("ph-1", stored=False, stop="s-svc", use="general_view")
    assert "10 of" in stop_page(walked)
    PhotoFile.objects.filter(pk=file.pk).update(
        state=PhotoFile.State.STORED, offset=file.size, trouble="It is damaged."
    )

    page = stop_page(walked)

    assert "Preview from the phone. No copy can be made: It is damaged." in page
    assert "has not arrived" not in page


@pytest.mark.parametrize(
    ("content", "status", "code"),
    [
        (b"", 411, "length-required"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", 415, "not-a-preview"),
        (SMALL[:900], 415, "not-a-preview"),
        (png_bomb(30_000, 30_000)[:60_000], 415, "not-a-preview"),
        (saved(quarters(321, 200), "JPEG"), 415, "not-a-preview"),
        (SMALL + b"x" * (64 * 1024), 413, "too-large"),
    ],
)
def test_what_is_no_small_picture_is_refused(
    walked: Walk, content: bytes, status: int, code: str
) -> None:
    answer = put(walked.cast.ines, walked, content)

    assert (answer.status_code, answer.json()["code"]) == (status, code)
    assert not PhotoPreview.objects.exists()


def test_entries_come_before_pictures(walked: Walk) -> None:
    for name in ("nowhere", "s-svc"):  # unknown, and a record that is no photo
        answer = put(walked.cast.ines, walked, name=name)
        assert (answer.status_code, answer.json()["code"]) == (409, "no-such-photo")


def test_only_who_records_sends_it_and_only_the_firm_sees_it(walked: Walk) -> None:
    cast = walked.cast
    for who, status in ((cast.owner, 403), (cast.omar, 404), (cast.stranger, 404)):
        assert put(who, walked).status_code == status
    assert not PhotoPreview.objects.exists()

    put(cast.ines, walked)

    for who in (cast.scheduler, cast.omar, cast.stranger):
        assert shown(who, walked).status_code == 404


def test_a_photo_of_another_visit_is_not_taken_over(walked: Walk) -> None:
    put(walked.cast.ines, walked)
    other = make_visit(walked.cast.ines, "R-2026-0077", walked.visit.ends_at)

    answer = walked.cast.ines.client().put(
        address(other, walked.id("ph-1")), SMALL, content_type="image/jpeg"
    )

    assert answer.status_code == 409
    assert PhotoPreview.objects.get().visit_id == walked.visit.pk


def test_only_the_photos_own_preview_goes(walked: Walk) -> None:
    put(walked.cast.ines, walked)

    walked.picture("ph-2", stop="s-svc", use="general_view")

    assert str(PhotoPreview.objects.get().pk) == walked.id("ph-1")
