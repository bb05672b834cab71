"""What the client sends of a picture: by the policy, and nothing let go too soon."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction
from django.urls import reverse
from playwright.sync_api import Browser, Page, Route, expect

from firm import jobs, storage
from firm.models import Firm, Installation
from inspections.models import PhotoFile, Visit
from inspections.selectors.folded import folded
from tests.support.browser import page_of, tap
from tests.support.cast import Cast, make_cast
from tests.support.field_client import at, client, quiet
from tests.support.pictures import CORNERS, corners_of, near, opened, photo, quarters
from tests.support.visits import make_visit

pytestmark = [pytest.mark.browser, pytest.mark.timeout(300)]
# A camera that lies on its side: 3,000 by 4,000 stored, 4,000 by 3,000 upright.
BIG = photo(quarters(4000, 3000), orientation=6, gps=True)
HEIC = b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00heicmif1" + b"x" * 999
BLANK = """
const draw = OffscreenCanvasRenderingContext2D.prototype.drawImage;
OffscreenCanvasRenderingContext2D.prototype.drawImage = function (...all) {
  if (this.canvas.width < 1000) draw.apply(this, all); // too large: it stays white
};
"""


@pytest.fixture
def booked(browser: Browser, transactional_db: None) -> Iterator[tuple[Cast, Visit]]:
    Installation.objects.get_or_create()
    with transaction.atomic():
        cast = make_cast()
        visit = make_visit(cast.ines)
    yield cast, visit
    quiet(browser)


def policy(**fields: Any) -> None:
    Firm.objects.filter(slug="northside").update(
        **{f"photo_{name}": value for name, value in fields.items()}
    )


def phone(browser: Browser, server: str, cast: Cast, visit: Visit) -> Page:
    """A phone in the visit's kitchen."""
    page = client(browser, server, cast.ines, service_workers="block")
    at(page, f"/v/{visit.pk}/begin")
    tap(page.get_by_role("button", name="Begin the walk"))
    tap(page.get_by_role("link", name="Kitchen"))
    page.locator(".shutter").first.wait_for()
    return page


def no_signal(page: Page) -> None:
    """Nothing reaches the server; the client's own files still come."""
    page.context.route("**/api/**", lambda route: route.abort())


def signal(page: Page) -> None:
    page.context.unroute("**/api/**")


def shoot(page: Page, folder: Path, content: bytes, name: str = "trap.jpg") -> None:
    path = folder / name
    path.write_bytes(content)
    page.locator("input[type=file]").first.set_input_files(str(path))
    page.get_by_text("Picture kept.").wait_for()


def until(page: Page, question: str) -> None:
    """Ask until the answer is yes; wait_for_function takes a promise for one."""
    for _ in range(150):
        if page.evaluate(question):
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"never so: {question}")


def settled(page: Page, count: int = 1) -> None:
    """Wait until it is decided what of every picture is sent."""
    until(
        page,
        "async () => { const v = [...kingpost.opened.values()][0]; const rows = await"
        " kingpost.store.tx(false, (tx) => tx.all('photos', [v.id]));"
        f" return rows.filter((row) => !row.of && row.prepared).length === {count}; }}",
    )


def sent(page: Page) -> None:
    page.evaluate("kingpost.syncer.now()")
    page.wait_for_function(
        "() => { const v = [...kingpost.opened.values()];"
        " return v.length && v.every((one) => one.seal?.whole); }"
    )


def on_phone(page: Page, store: str) -> list[Any]:
    said = "(row) => (row instanceof ArrayBuffer ? row.byteLength : row)"
    return list(
        page.evaluate(
            "(name) => { const v = [...kingpost.opened.values()][0]; return"
            " kingpost.store.tx(false, (tx) => tx.all(name, [v.id]))"
            f".then((rows) => rows.map({said})); }}",
            store,
        )
    )


def record(cast: Cast, visit: Visit) -> dict[str, Any]:
    with cast.inside():
        found = folded(cast.ines.actor, visit)[0].values()
    return next(one for one in found if one["kind"] == "photo")


def files(cast: Cast) -> list[PhotoFile]:
    with cast.inside():
        return list(PhotoFile.objects.order_by("stored_at"))


def test_a_big_picture_becomes_a_working_copy_of_the_policys_size(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit], tmp_path: Path
) -> None:
    cast, visit = booked
    policy(long_edge=2000, quality=70)
    page = phone(browser, live_server.url, cast, visit)
    no_signal(page)
    shoot(page, tmp_path, BIG)
    settled(page)

    # Both lie on the phone until the server's own list shows the copy.
    assert len(on_phone(page, "bytes")) == 2
    held = next(row for row in on_phone(page, "photos") if row.get("of"))
    assert (held["state"], held["sha256"]) == ("held", hashlib.sha256(BIG).hexdigest())

    signal(page)
    sent(page)

    (file,) = files(cast)
    copy = storage.get(file.storage_key)
    said = record(cast, visit)
    assert opened(copy).size == (2000, 1500) == (said["width"], said["height"])
    assert all(map(near, corners_of(copy), CORNERS))
    assert not opened(copy).getexif()
    assert (said["sha256"], said["size"]) == (file.sha256, file.size)
    assert said["original_sha256"] == hashlib.sha256(BIG).hexdigest()
    assert "original" not in said
    until(
        page,
        "() => kingpost.store.tx(false, (tx) => tx.all('bytes',"
        " [[...kingpost.opened.values()][0].id])).then((all) => all.length === 1)",
    )
    assert on_phone(page, "bytes") == [len(copy)]


def test_a_firm_that_keeps_originals_gets_them_after_the_copies(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit], tmp_path: Path
) -> None:
    cast, visit = booked
    policy(originals=True)
    page = phone(browser, live_server.url, cast, visit)
    no_signal(page)
    shoot(page, tmp_path, BIG)
    shoot(page, tmp_path, photo(quarters(3200, 2400)), "second.jpg")
    settled(page, 2)
    signal(page)
    sent(page)

    found = files(cast)
    assert [row.original_of is None for row in found] == [True, True, False, False]
    assert storage.get(found[2].storage_key) in (BIG, photo(quarters(3200, 2400)))
    said = record(cast, visit)
    by_id = {str(row.pk): row for row in found}
    assert by_id[said["original"]].sha256 == said["original_sha256"]
    assert opened(storage.get(found[0].storage_key)).size == (2560, 1920)
    assert len(on_phone(page, "bytes")) == 4


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("cut.jpg", BIG[: len(BIG) // 3]),
        ("still.heic", HEIC),
        ("small.jpg", photo(quarters(2560, 1920))),
    ],
)
def test_what_cannot_be_shrunk_safely_goes_as_the_camera_made_it(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit], tmp_path: Path,
    name: str, content: bytes,
) -> None:  # fmt: skip
    cast, visit = booked
    page = phone(browser, live_server.url, cast, visit)
    shoot(page, tmp_path, content, name)
    settled(page)
    sent(page)

    (file,) = files(cast)
    assert storage.get(file.storage_key) == content
    assert record(cast, visit)["sha256"] == hashlib.sha256(content).hexdigest()
    assert on_phone(page, "bytes") == [len(content)]


def test_a_copy_that_came_out_white_is_not_sent(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit], tmp_path: Path
) -> None:
    cast, visit = booked
    page = phone(browser, live_server.url, cast, visit)

    def drawn_white(route: Route) -> None:
        answer = route.fetch()
        route.fulfill(response=answer, body=BLANK + answer.text())

    page.context.route("**/image_worker.js", drawn_white)
    shoot(page, tmp_path, BIG)
    settled(page)
    sent(page)

    (file,) = files(cast)
    assert storage.get(file.storage_key) == BIG
    assert len(on_phone(page, "thumbs")) == 1


def test_a_copy_that_does_not_read_back_gives_its_place_up(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit], tmp_path: Path
) -> None:
    cast, visit = booked
    page = phone(browser, live_server.url, cast, visit)
    # The disk gives back other bytes than were written, once.
    page.evaluate(
        "() => { const { store } = kingpost; const tx = store.tx.bind(store);"
        " globalThis.reads = 0;"
        " store.tx = async (write, work) => { const made = await tx(write, work);"
        "  if (write || !(made instanceof ArrayBuffer) || made.byteLength < 30000)"
        "   return made;"
        "  reads += 1;"
        "  return reads === 3 ? made.slice(0, made.byteLength - 1) : made; }; }"
    )
    shoot(page, tmp_path, BIG)
    settled(page)
    assert page.evaluate("reads") == 4  # the picture itself was fetched for its return
    sent(page)

    (file,) = files(cast)
    said = record(cast, visit)
    assert storage.get(file.storage_key) == BIG
    assert said["sha256"] == hashlib.sha256(BIG).hexdigest()
    assert (said["width"], said["height"]) == (4000, 3000)
    assert "original_sha256" not in said
    assert on_phone(page, "bytes") == [len(BIG)]


@pytest.mark.parametrize("method", ["POST", "PATCH"])
def test_a_stale_token_is_fetched_anew_once(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit], tmp_path: Path,
    method: str,
) -> None:  # fmt: skip
    cast, visit = booked
    page = phone(browser, live_server.url, cast, visit)
    no_signal(page)
    shoot(page, tmp_path, photo(quarters(640, 480)))
    settled(page)
    signal(page)
    asked: list[str] = []
    answers: list[int] = []

    def stale_once(route: Route) -> None:
        headers = route.request.headers
        if route.request.method == method:
            asked.append(headers["x-csrftoken"])
            if len(asked) == 1:
                headers = headers | {"x-csrftoken": "x" * 64}
        route.continue_(headers=headers)

    page.on(
        "response",
        lambda one: (
            answers.append(one.status)
            if "/photos/" in one.url and one.request.method == method
            else None
        ),
    )
    page.context.route("**/api/sync/v1/photos/**", stale_once)
    page.evaluate("kingpost.syncer.now()")
    page.wait_for_function("() => [...kingpost.opened.values()][0].seal?.whole")

    assert answers == [403, 201 if method == "POST" else 204]
    assert len(asked) == 2
    assert len(files(cast)) == 1


def test_small_copies_of_all_pictures_go_first_then_copies_then_originals(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit], tmp_path: Path
) -> None:
    cast, visit = booked
    policy(originals=True)
    page = phone(browser, live_server.url, cast, visit)
    no_signal(page)
    for number in range(2):
        shoot(page, tmp_path, photo(quarters(3000, 2000 + number)), f"{number}.jpg")
    settled(page, 2)
    asked: list[str] = []
    page.on("request", lambda one: asked.append(f"{one.method} {one.url}"))
    signal(page)
    sent(page)

    steps = [step for one in asked if (step := _step(one))]
    order = list(dict.fromkeys(steps))
    assert order == ["entries", "preview", "picture"]
    assert steps.count("preview") == 2
    assert steps.index("picture") > len(steps) - 1 - steps[::-1].index("preview")
    assert [row.original_of is None for row in files(cast)] == [
        True,
        True,
        False,
        False,
    ]
    assert all(30 < size < 20_000 for size in on_phone(page, "thumbs"))
    assert {row.get("preview") for row in on_phone(page, "photos")} == {"sent", None}


def _step(asked: str) -> str:
    if asked.endswith("/preview"):
        return "preview"
    if asked.endswith("/push"):
        return "entries"
    return "picture" if "/sync/v1/photos/" in asked else ""


def test_the_office_sees_a_preview_while_the_picture_is_on_its_way(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit], tmp_path: Path
) -> None:
    cast, visit = booked
    page = phone(browser, live_server.url, cast, visit)
    page.context.route("**/sync/v1/photos/**", lambda route: route.abort())
    shoot(page, tmp_path, BIG)
    settled(page)
    page.evaluate("kingpost.syncer.now()")

    desk = page_of(browser, live_server.url, cast.owner)
    kitchen = page.url.rsplit("/", 1)[-1]
    stop = reverse("stop-read", args=["northside", visit.pk, kitchen])
    desk.goto(f"{live_server.url}{stop}")
    said = "Preview from the phone. The picture itself has not arrived."
    expect(desk.get_by_text(said).first).to_be_visible()
    shown = desk.locator("img[alt$='a small preview']").first
    expect(shown).to_have_js_property("naturalWidth", 320)

    page.context.unroute("**/sync/v1/photos/**")
    sent(page)
    jobs.run_next(firm_id=str(cast.northside.pk), queue="photos")
    desk.reload()
    assert not desk.get_by_text(said).count()
    expect(desk.locator("main figure a img").first).to_have_js_property(
        "complete", True
    )
