"""The field client as the phone fills up: said on every screen, and nothing is lost."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import default_storage
from playwright.sync_api import Browser, Locator, Page, expect

from inspections.models import PhotoFile, Visit
from tests.browser.test_field_client import begun, booked, key, records, sent
from tests.support.browser import tap
from tests.support.cast import Cast
from tests.support.field_client import at, client
from tests.support.pictures import quarters
from tests.support.pictures import saved as saved_as

pytestmark = [pytest.mark.browser, pytest.mark.timeout(300)]
__all__ = ["booked"]

MIB = 1024 * 1024
FREE = """(free) => { navigator.storage.estimate =
  async () => ({ quota: 9e9, usage: 9e9 - free }); return kingpost.room.look(); }"""
# The disk takes nothing larger than a picture's record: as the browser itself says it.
FULL = """() => {
  const put = IDBObjectStore.prototype.put;
  globalThis.roomAgain = () => { IDBObjectStore.prototype.put = put; };
  IDBObjectStore.prototype.put = function (value, key) {
    if (this.name !== "bytes" || value === null) return put.call(this, value, key);
    throw new DOMException("no room", "QuotaExceededError");
  };
}"""


def notice(page: Page) -> Locator:
    return page.locator(".notice--room")


def picture(folder: Path, name: str, side: int = 640) -> Path:
    path = folder / name
    path.write_bytes(saved_as(quarters(side, side - 160), "JPEG"))
    return path


def shoot(page: Page, *pictures: Path) -> None:
    gallery = page.locator("input[type=file]").first
    gallery.evaluate("(input) => { input.multiple = true; }")
    gallery.set_input_files([str(one) for one in pictures])


def stored_whole(cast: Cast, visit: Visit, *pictures: Path) -> None:
    """The server has these pictures, byte for byte, and no others."""
    files = {
        hashlib.sha256(path.read_bytes()).hexdigest(): path.read_bytes()
        for path in pictures
    }
    with cast.inside():
        stored = PhotoFile.objects.filter(visit=visit, state=PhotoFile.State.STORED)
        assert {one.sha256 for one in stored} == set(files)
        for one in stored:
            with default_storage.open(one.storage_key) as held:
                assert held.read() == files[one.sha256]


def record_of(cast: Cast, visit: Visit, taken: Path) -> str:
    digest = hashlib.sha256(taken.read_bytes()).hexdigest()
    found = records(cast, visit).items()
    return next(rec for rec, one in found if one.get("sha256") == digest)


def test_little_room_is_said_on_every_screen_with_what_to_do(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    page.evaluate(FREE, 400 * MIB)

    for path in ("", f"/s/{kitchen}", f"/s/{kitchen}/finding", "/talk"):
        at(page, f"/v/{visit.pk}{path}")
        expect(notice(page)).to_contain_text("about 80 more pictures")
        expect(notice(page)).to_be_in_viewport()
    page.mouse.wheel(0, 3000)
    expect(notice(page)).to_be_in_viewport()

    tap(notice(page).get_by_role("button", name="Later"))
    expect(notice(page)).to_have_count(0)
    page.evaluate(FREE, 150 * MIB)
    expect(notice(page)).to_contain_text("about 30 more pictures")
    tap(notice(page).get_by_role("link", name="What to do"))
    page.get_by_role("heading", name="Room on this phone").wait_for()
    page.get_by_text("Do not clear this browser's data").wait_for()


def test_fewer_pictures_than_the_visit_still_needs_is_little_too(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    page.evaluate(FREE, 600 * MIB)
    expect(notice(page)).to_have_count(0)  # nothing is under way yet
    begun(page, visit)

    page.evaluate(FREE, 600 * MIB)
    expect(notice(page)).to_contain_text("about 120 more pictures")
    page.evaluate(FREE, 900 * MIB)
    expect(notice(page)).to_have_count(0)


def test_a_picture_without_room_is_held_and_saved_later(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit], tmp_path: Path
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    at(page, f"/v/{visit.pk}/s/{kitchen}")
    page.evaluate(FULL)
    first, second = picture(tmp_path, "one.jpg"), picture(tmp_path, "two.jpg", 800)

    shoot(page, first, second)

    expect(notice(page)).to_contain_text("2 pictures could not be saved yet")
    expect(notice(page)).to_have_attribute("role", "alert")
    at(page, f"/v/{visit.pk}/s/{kitchen}/finding")  # words still find room
    page.get_by_label("In one line").fill("The hood stands still.")
    page.wait_for_function(
        "() => [...kingpost.opened.values()][0].of('hand_finding').length"
    )
    expect(notice(page)).to_contain_text("2 pictures could not be saved yet")
    page.evaluate("roomAgain()")
    tap(notice(page).get_by_role("button", name="Save now"))
    expect(notice(page)).to_have_count(0)
    sent(page)

    found = records(cast, visit).values()
    kept = {one["sha256"]: one["stop"] for one in found if one["kind"] == "photo"}
    digests = [hashlib.sha256(one.read_bytes()).hexdigest() for one in (first, second)]
    assert kept == dict.fromkeys(digests, kitchen)
    assert [one["line"] for one in found if "line" in one] == ["The hood stands still."]


def test_sent_pictures_are_let_go_of_and_make_room(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit], tmp_path: Path
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    at(page, f"/v/{visit.pk}/s/{kitchen}")
    large, larger = picture(tmp_path, "large.jpg"), picture(tmp_path, "larger.jpg", 900)
    shoot(page, large)
    page.get_by_text("Picture kept.").wait_for()
    page.wait_for_function("() => kingpost.thumbs.made.value === 1")
    page.evaluate(FULL)

    shoot(page, larger)

    expect(notice(page)).to_contain_text("1 picture could not be saved yet")
    tap(notice(page).get_by_role("link", name="What to do"))
    page.get_by_text("None yet: pictures are offered here once").wait_for()
    sent(page)
    tap(page.get_by_role("button", name="Let go of 1 picture"))
    page.get_by_text("1 picture let go of").wait_for()
    page.evaluate("roomAgain()")
    tap(key(page, "Save now"))
    expect(notice(page)).to_have_count(0)
    sent(page)

    stored_whole(cast, visit, large, larger)
    photo = record_of(cast, visit, large)
    left = page.evaluate(
        "([visit, photo]) => kingpost.store.tx(false, async (tx) => ["
        " await tx.get('bytes', [visit, photo]),"
        " (await tx.get('thumbs', [visit, photo])).byteLength])",
        [str(visit.pk), photo],
    )
    assert left[0] is None
    assert left[1] > 100
    at(page, f"/v/{visit.pk}/photo/{photo}")
    page.locator(".marks img").wait_for()
