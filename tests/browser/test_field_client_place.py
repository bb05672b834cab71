"""The field client that the phone has closed: it opens again where it was left."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.db import connections, transaction
from playwright.sync_api import Browser, Page, expect, sync_playwright

from firm.models import Installation
from inspections.models import Visit
from tests.browser.test_field_client import START, begun, booked, records, sent
from tests.faults.chromium import chromium_on, kill
from tests.support.browser import tap
from tests.support.cast import Cast, Person, make_cast
from tests.support.field_client import PHONE, at, client
from tests.support.visits import make_visit

pytestmark = [pytest.mark.browser, pytest.mark.timeout(300)]
__all__ = ["booked"]

# What was remembered of the place, as it lies on the disk.
PLACE = "() => kingpost.recall(['place'])"
HALF = "The flue pipe is loose at its first joi"


@pytest.fixture
def by_itself(
    transactional_db: None, monkeypatch: pytest.MonkeyPatch
) -> Iterator[tuple[Cast, Visit]]:
    """A booked visit, for a test that starts and kills a Chromium of its own."""
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    Installation.objects.get_or_create()
    with transaction.atomic():
        cast = make_cast()
        visit = make_visit(cast.ines, starts=START)
    yield cast, visit
    time.sleep(1)  # what the killed browser had asked comes to an end
    connections.close_all()


def opened(browser: Browser, server: str, who: Person, path: str = "/") -> Page:
    """Start the app in the profile's own context, as from the home screen."""
    context = browser.contexts[0]
    name = settings.SESSION_COOKIE_NAME
    value = who.client().cookies[name].value
    context.add_cookies([{"name": name, "value": value, "url": server}])
    page = context.new_page()
    page.set_viewport_size(PHONE)
    page.goto(f"{server}/field{path}")
    page.locator("h1").wait_for()
    return page


def told(page: Page, what: str) -> None:
    """Wait until the phone remembers this of the place."""
    until = time.monotonic() + 10
    asked = f"async () => {{ const p = await ({PLACE})(); return Boolean({what}); }}"
    while not page.evaluate(asked):  # a waiting function would not wait for the answer
        assert time.monotonic() < until, f"not remembered: {what}"
        page.wait_for_timeout(50)


def test_killed_in_mid_sentence_it_opens_at_the_same_words(
    by_itself: tuple[Cast, Visit], live_server: Any, tmp_path: Path
) -> None:
    cast, visit = by_itself
    with sync_playwright() as hand:
        with chromium_on(tmp_path, hand) as (process, browser):
            page = opened(browser, live_server.url, cast.ines)
            page.locator(".rows .row").first.wait_for()
            kitchen = begun(page, visit)
            at(page, f"/v/{visit.pk}/s/{kitchen}/finding")
            page.get_by_label("In one line").fill(HALF)
            told(page, "p.rec && p.field?.label.startsWith('In one line')")
            kill(process)

        with chromium_on(tmp_path, hand) as (process, browser):
            page = opened(browser, live_server.url, cast.ines)
            page.get_by_role("heading", name="Something wrong").wait_for()
            line = page.get_by_label("In one line")
            expect(line).to_have_value(HALF)
            expect(line).to_be_focused()
            line.press("End")
            line.press_sequentially("nt.")
            page.wait_for_function(
                "(words) => [...kingpost.opened.values()][0].of('hand_finding')"
                ".some(([, one]) => one.line === words)",
                arg=f"{HALF}nt.",
            )
            sent(page)
            tap(page.get_by_role("button", name="Back"))
            page.get_by_role("heading", name="Your visits").wait_for()

    lines = [one["line"] for one in records(cast, visit).values() if "line" in one]
    assert lines == [f"{HALF}nt."]


def test_it_opens_as_far_down_the_stop_as_it_was(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    at(page, f"/v/{visit.pk}/s/{kitchen}")
    page.get_by_text("Open before you leave").wait_for()
    page.wait_for_timeout(600)
    page.mouse.wheel(0, 500)
    told(page, "p.scroll > 300")
    down = page.evaluate("scrollY")
    page.close()

    again = page.context.new_page()
    again.set_viewport_size(PHONE)
    again.goto(f"{live_server.url}/field/")
    again.get_by_role("heading", name="Kitchen").wait_for()
    again.wait_for_function("(down) => Math.abs(scrollY - down) < 3", arg=down)
    assert again.url.endswith(f"/field/v/{visit.pk}/s/{kitchen}")


def test_an_address_that_was_asked_for_stands(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    at(page, f"/v/{visit.pk}/s/{kitchen}")
    told(page, "p.path.includes('/s/')")

    page.goto(f"{live_server.url}/field/v/{visit.pk}/sync")

    page.get_by_role("heading", name="Sent and not yet sent").wait_for()
    page.wait_for_timeout(500)
    assert page.url.endswith("/sync")


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ("p.at = new Date(Date.now() - 7 * 3600000).toISOString()", "long ago"),
        ("p.user = 'somebody else'", "another person's"),
    ],
)
def test_an_older_or_anothers_place_opens_the_day(
    browser: Browser,
    live_server: Any,
    booked: tuple[Cast, Visit],
    change: str,
    why: str,
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    at(page, f"/v/{visit.pk}/s/{kitchen}")
    told(page, "p.path.includes('/s/')")
    # Written from beside: an app that closes writes its own place once more.
    beside = page.context.new_page()
    beside.goto(f"{live_server.url}/field/settings")
    beside.get_by_role("heading", name="This phone").wait_for()
    place = page.evaluate(PLACE)
    page.goto("about:blank")
    beside.evaluate(
        f"async (p) => {{ {change}; kingpost.place.at = () => {{}};"
        " await kingpost.remember(['place'], p); kingpost.remember = async () => {}; }",
        place,
    )

    beside.goto(f"{live_server.url}/field/")

    beside.get_by_role("heading", name="Your visits").wait_for()
    beside.wait_for_timeout(500)
    assert beside.url.endswith("/field/"), why


def test_a_visit_that_was_left_opens_the_day(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    begun(page, visit)
    at(page, f"/v/{visit.pk}/talk")
    page.evaluate(
        "async () => { const v = [...kingpost.opened.values()][0];"
        " await v.set(v.id, { left_at: new Date().toISOString() }); }"
    )
    told(page, "p.path.endsWith('/talk')")

    page.goto(f"{live_server.url}/field/")

    page.get_by_role("heading", name="Your visits").wait_for()
