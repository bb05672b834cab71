"""Chromium as the browser tests drive it, with a hand that is not too quick."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.conf import settings
from playwright.sync_api import Browser, Locator, Page, sync_playwright

from tests.support.cast import Person

PHONE: Any = {"width": 360, "height": 740}
DESK: Any = {"width": 1280, "height": 900}
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]
# Pages ignore taps in the first 300 ms, so that a wet screen's double tap on one page
# does not press a button of the next (static/js/components/steady_taps.js).
CHROMIUM = "/usr/bin/chromium"  # Debian's own
SETTLED = 400


@contextmanager
def chromium() -> Iterator[Browser]:
    """Debian's Chromium without a window."""
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield launched
        launched.close()


def tap(target: Locator) -> None:
    """Press something as a hand would: it is there, the page has settled."""
    target.wait_for()
    target.page.wait_for_timeout(SETTLED)
    target.click()


def page_of(browser: Browser, address: str, who: Person | None, **context: Any) -> Page:
    """A window in which this person has signed in; the form has its own tests."""
    opened = browser.new_context(**context)
    if who is not None:
        name = settings.SESSION_COOKIE_NAME
        value = who.client().cookies[name].value
        opened.add_cookies([{"name": name, "value": value, "url": address}])
    return opened.new_page()
