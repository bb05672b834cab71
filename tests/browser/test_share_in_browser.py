"""SL-11 and the reader's pages in a real browser, with JavaScript and without."""

from __future__ import annotations

import re
from typing import Any

import pytest
from axe_core_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, Request, Route

from firm.tenancy import bound
from tests.reports.shared import door, released_report
from tests.support.browser import DESK, PHONE, tap
from tests.support.cast import Cast
from tests.support.walked import Walk

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

KEPT = """async () => {
  const found = [location.href, document.referrer, JSON.stringify(history.state)];
  for (const store of [localStorage, sessionStorage]) found.push(JSON.stringify(store));
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const request of await cache.keys()) found.push(request.url);
  }
  for (const entry of performance.getEntries()) found.push(entry.name);
  return found.join("\\n");
}"""


def made(cast: Cast) -> tuple[Walk, str]:
    with bound(cast.northside.pk):
        walked = released_report(cast)
        _, token = door(walked)
    return walked, token


def test_sl_11_after_opening_no_trace_of_the_token_is_left(
    live_server: Any, browser: Browser, cast: Cast
) -> None:
    """SL-11: not in the address, history, Referer of an outbound click, or caches."""
    _, token = made(cast)
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    told: list[str] = []
    page.on("request", lambda request: told.append(headers_of(request)))
    outbound(context, told)
    page.goto(f"{live_server.url}/r/{token}")
    told.clear()  # from the press on Open on, nothing may carry it
    tap(page.get_by_role("button", name="Open"))
    page.wait_for_url("**/r/report/")
    assert token not in page.evaluate(KEPT)
    page.evaluate(
        """() => {
          const a = document.createElement("a");
          a.href = "http://elsewhere.example/"; a.textContent = "out"; a.id = "out";
          document.body.append(a);
        }"""
    )
    page.locator("#out").click()
    page.wait_for_url("http://elsewhere.example/")
    assert page.evaluate("document.referrer") == ""
    # The one request that carries it is the form's own, sent by the page before.
    own = f"{live_server.url}/r/{token}"
    assert [line for line in told if token in line and not line.startswith(own)] == []
    page.go_back()
    page.wait_for_url("**/r/report/")
    assert token not in page.evaluate(KEPT)
    context.close()


def headers_of(request: Request) -> str:
    return f"{request.url} {request.headers.get('referer', '')}"


def outbound(context: Any, told: list[str]) -> None:
    """A canary server on another host."""

    def answer(route: Route) -> None:
        told.append(f"canary {route.request.headers.get('referer', '')}")
        route.fulfill(body="<title>elsewhere</title>", content_type="text/html")

    context.route("http://elsewhere.example/**", answer)


@pytest.mark.parametrize("scripts", [True, False])
def test_a_reader_asks_lists_and_takes_along(
    live_server: Any, browser: Browser, cast: Cast, scripts: bool
) -> None:
    _, token = made(cast)
    context = browser.new_context(viewport=PHONE, java_script_enabled=scripts)
    page = context.new_page()
    page.goto(f"{live_server.url}/r/{token}")
    tap(page.get_by_role("button", name="Open"))
    page.wait_for_url("**/r/report/")
    tap(page.get_by_role("link", name="Put on my list").first)
    page.fill("[name=words]", "Please ask them about this one.")
    tap(page.get_by_role("button", name="Put it on the list"))
    page.get_by_text("Please ask them about this one.").first.wait_for()
    assert "Finding 1:" in page.content()
    fits(page, scripts)

    page.goto(f"{live_server.url}/r/report/questions?about=1")
    page.fill("[name=text] >> nth=-1", "Is that the panel by the stairs?")
    tap(page.get_by_role("button", name="Send the question"))
    page.get_by_text("Is that the panel by the stairs?").first.wait_for()
    page.get_by_text("Not answered yet.").wait_for()
    fits(page, scripts)
    context.close()


def fits(page: Page, scripts: bool) -> None:
    if scripts:
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
        assert Axe().run(page)["violations"] == []


def test_the_office_answers_and_takes_papers_and_complaints(
    live_server: Any, browser: Browser, cast: Cast
) -> None:
    from tests.support.browser import page_of

    walked, _ = made(cast)
    page = page_of(browser, live_server.url, cast.owner, viewport=DESK)
    visit = f"{live_server.url}/f/northside/visits/{walked.visit.pk}"
    for name in ("questions", "papers", "complaints", "release"):
        page.goto(f"{visit}/{name}/")
        assert Axe().run(page)["violations"] == [], name
    page.goto(f"{visit}/complaints/")
    page.fill("[name=said_by]", "Dana Whitlow")
    page.fill("[name=received_on]", "2026-11-25")
    page.fill("[name=how]", "by letter")
    page.fill("[name=words]", "The roof leaks and you said nothing.")
    tap(page.get_by_role("button", name="Take it down"))
    page.get_by_text("A hold stands on this visit.").wait_for()
    assert re.search(r"The roof leaks", page.content())
    page.context.close()
