"""The client's report in a real browser: usable, narrowable, nothing for axe to say."""

import functools
import threading
from collections.abc import Iterator
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from axe_core_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from reports.rendering import gallery, web
from tests.support import snapshots
from tests.support.browser import chromium

pytestmark = pytest.mark.browser

STATIC = Path(__file__).parent.parent.parent / "static"
SHEETS = ("fonts.css", "tokens.css", "pages/report.css", "pages/gallery.css")
LINKS = web.Links(
    photo_url=lambda photo, size: f"photo/{photo}-{size}.jpg",
    report="report.html",
    gallery="gallery.html",
    stylesheets=tuple(f"static/css/{name}" for name in SHEETS),
    script="static/js/pages/report.js",
)


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        pass


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> Iterator[str]:
    folder = tmp_path_factory.mktemp("site")
    plain = snapshots.full()
    raw = snapshots.canonical_bytes(plain)
    (folder / "report.html").write_text(web.build(raw, links=LINKS))
    (folder / "gallery.html").write_text(gallery.build(raw, links=LINKS))
    (folder / "static").symlink_to(STATIC)
    (folder / "photo").mkdir()
    for photo in plain["photos"]:
        for size in snapshots.SIZES:
            picture = snapshots.picture(photo["id"], size)
            (folder / "photo" / f"{photo['id']}-{size}.jpg").write_bytes(picture)
    server = ThreadingHTTPServer(
        ("127.0.0.1", 0), functools.partial(Quiet, directory=folder)
    )
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as launched:
        yield launched


@pytest.fixture
def phone(browser, site) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(f"{site}/report.html")
    yield page
    context.close()


@pytest.mark.parametrize("name", ["report.html", "gallery.html"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 1280])
def test_axe_finds_nothing_and_nothing_runs_over_the_edge(
    browser, site, name, scheme, width
):
    context = browser.new_context(
        viewport={"width": width, "height": 800}, color_scheme=scheme
    )
    page = context.new_page()
    page.goto(f"{site}/{name}")

    found = Axe().run(page)["violations"]

    told = [(one["id"], one["nodes"][0]["html"][:120]) for one in found]
    assert told == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    context.close()


def test_narrowing_shows_what_fits_and_says_how_many(phone):
    phone.select_option("select[name=trade]", "electrician")
    phone.select_option("select[name=timing]", "before_move_in")

    shown = phone.locator("[data-finding]:visible")
    assert shown.count() == 7
    assert phone.locator("[data-count]").inner_text() == "Showing 7 of 26 findings"


def test_the_count_stays_in_view_while_the_findings_pass(phone):
    phone.select_option("select[name=trade]", "electrician")

    phone.locator("#finding-25").scroll_into_view_if_needed()

    box = phone.locator("[data-count]").bounding_box()
    assert 0 <= box["y"] < 60


def test_a_link_to_a_finding_out_of_sight_brings_it_back(phone):
    phone.select_option("select[name=trade]", "plumber")

    phone.locator(".section-front a[href='#finding-1']").click()

    phone.locator("#finding-1").wait_for(state="visible")
    assert phone.locator("[data-count]").inner_text() == "Showing 26 of 26 findings"


def test_without_scripts_everything_is_there_and_the_form_is_not(browser, site):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{site}/report.html")

    assert page.locator("[data-finding]:visible").count() == 26
    assert not page.locator("[data-narrow]").is_visible()
    context.close()


def test_a_photo_opens_large_on_the_page(phone):
    phone.locator("[data-finding] .picture a").first.click()

    assert phone.get_by_role("dialog", name="Photo, large").is_visible()
    phone.get_by_role("button", name="Close").click()
    assert not phone.get_by_role("dialog", name="Photo, large").is_visible()


def test_without_scripts_a_photo_leads_to_itself_on_the_wall(browser, site):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{site}/report.html")
    page.locator("[data-finding] .picture a").first.click()

    page.wait_for_url("**/gallery.html#photo-f01-1")
    assert page.locator("#photo-f01-1").is_visible()
    context.close()
