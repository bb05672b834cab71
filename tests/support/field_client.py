"""The field client in a real browser: signed in, its packages fetched, at a screen."""

from __future__ import annotations

import time
from typing import Any

from django.db import connection
from playwright.sync_api import Browser, Page

from tests.support.browser import page_of
from tests.support.cast import Person

PHONE: Any = {"width": 360, "height": 740}
AT_WORK = """select count(*) from pg_stat_activity
where datname = current_database() and pid <> pg_backend_pid() and state <> 'idle'"""
RESTS = 10  # looks, a tenth of a second apart


def client(
    browser: Browser, server: str, who: Person | None, path: str = "/", **context: Any
) -> Page:
    """Open the client as a person would on a phone, with the day fetched."""
    page = page_of(browser, server, who, viewport=PHONE, **context)
    page.goto(f"{server}/field/")
    page.locator("h1").wait_for()
    if who is not None:
        page.locator(".rows .row").first.wait_for()
    at(page, path)
    return page


def quiet(browser: Browser, within: float = 20) -> None:
    """Close every page, and let what it had asked come to an end.

    The client sends by itself: a request in flight would hold a table that the test's
    end empties. A push is many transactions, so the server has to rest for a while.
    """
    for context in browser.contexts:
        context.close()
    until, rested = time.monotonic() + within, 0
    while rested < RESTS and time.monotonic() < until:
        time.sleep(0.1)
        with connection.cursor() as cursor:
            cursor.execute(AT_WORK)
            rested = 0 if cursor.fetchone()[0] else rested + 1


def at(page: Page, path: str) -> None:
    """Go to a screen of the client as a link inside it would, without loading anew."""
    page.evaluate(
        "(path) => { history.pushState({deep: 1}, '', '/field' + path);"
        " dispatchEvent(new PopStateEvent('popstate', {state: {deep: 1}})); }",
        path,
    )
    page.wait_for_timeout(350)
