"""The whole way in Chromium: from the booking to the report behind a share link."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
from axe_core_python.sync_playwright import Axe
from django.core import mail
from django.db import transaction
from django.utils import timezone
from playwright.sync_api import Browser, Page

from findings.models import Finding
from firm.models import Installation
from firm.tenancy import bound
from inspections.models import Visit
from tests.support import nc_visit
from tests.support.browser import DESK, PHONE, tap
from tests.support.cast import PASSWORD, Cast, Person, make_cast
from tests.support.field import url
from tests.support.walked import Walk

pytestmark = [pytest.mark.browser, pytest.mark.timeout(600)]


@pytest.fixture
def cast(transactional_db: None) -> Cast:
    Installation.objects.get_or_create()
    with transaction.atomic():
        return make_cast()


def button(page: Page, name: str) -> None:
    tap(page.get_by_role("button", name=re.compile(f"^{re.escape(name)}")).first)


def signed_in(browser: Browser, address: str, who: Person, size: Any) -> Page:
    page = browser.new_context(viewport=size).new_page()
    page.goto(f"{address}/sign-in/")
    page.fill("[name=username]", who.user.email)
    page.fill("[name=password]", PASSWORD)
    button(page, "Sign in")
    page.get_by_text("Signed in as").wait_for()
    return page


def book(page: Page, address: str, cast: Cast) -> None:
    start = timezone.now() + timedelta(days=2)
    page.goto(f"{address}/f/northside/bookings/new/")
    for name, value in {
        "street": "14 Alder Row",
        "city": "Quarry Ford",
        "state": "NC",
        "built_from": "1994",
        "client_name": "Ada Buyer",
        "client_email": "ada@example.net",
        "starts_on": start.strftime("%Y-%m-%d"),
        "starts_at": "09:00",
        "hours": "3",
    }.items():
        page.fill(f"[name={name}]", value)
    page.select_option("[name=inspector]", str(cast.ines.member.pk))
    button(page, "Book it")
    button(page, "Freeze it and send each client a link")
    page.get_by_text("Read the agreement as it was sent").wait_for()


def mailed(pattern: str) -> str:
    found = re.search(pattern, str(mail.outbox[-1].body))
    assert found, mail.outbox[-1].body
    return found.group(0)


def sign_agreement(browser: Browser) -> None:
    page = browser.new_context(viewport=PHONE).new_page()
    page.goto(mailed(r"http://\S+/s/\S+"))
    page.fill("[name=name]", "Ada Buyer")
    tap(page.get_by_text("I have read the agreement above"))
    button(page, "Sign the agreement")
    page.get_by_text("Signed by Ada Buyer").wait_for()


def walked(cast: Cast) -> tuple[Visit, Walk]:
    """What the phone sent before: the rest of the electrical system, all in order."""
    with bound(cast.northside.pk):
        Visit.objects.update(scope=["electrical"])
        visit = Visit.objects.select_related("property").get()
        house = nc_visit.electrical()
        walk = Walk(cast, visit)
        for name in house:
            walk.id(name)
        walk.record(**house)
    return visit, walk


def map_a_breaker(page: Page, address: str, visit: Visit, panel: str) -> None:
    """One breaker too large for the wire on it, by the panel's own page."""
    page.goto(address + url("space-write", visit, panel, 13))
    for name, value in {
        "space_kind": "breaker",
        "poles": "1",
        "state": "on",
        "size": "14",
        "material": "copper",
        "how": "read",
        "load": "general",
    }.items():
        choose(page, name, value)
    page.fill("[name=amps]", "20")
    page.fill("[name=label]", "Bedrooms")
    button(page, "Save, to the map")
    page.get_by_text("Bedrooms").first.wait_for()


def choose(page: Page, name: str, value: str) -> None:
    """Set a select or press the word of a radio button, whichever the page has."""
    select = page.locator(f"select[name={name}]")
    if select.count():
        select.select_option(value)
        return
    tap(page.locator(f"label:has(> input[name={name}][value='{value}'])"))


def use_and_hand_in(page: Page, address: str, visit: Visit) -> None:
    """Every proposal is used where it stands; then nothing is left to answer."""
    leaving = address + url("visit-leave", visit)
    waits = page.get_by_role("link", name=re.compile("^No answer yet"))
    page.goto(leaving)
    assert waits.filter(has_text="Breaker or fuse on a small wire").count()
    while left := waits.count():
        tap(waits.first)
        page.get_by_role("heading", name="What it may mean").first.wait_for()
        for folded in page.get_by_text("Older rules, newer habits:").all():
            tap(folded)
        button(page, "Use")
        page.get_by_text("Used").first.wait_for()
        page.goto(leaving)
        assert waits.count() < left
    button(page, "Hand in for checking of the words")
    page.get_by_text("Handed in").first.wait_for()


def check_words(page: Page, address: str, cast: Cast, visit: Visit) -> None:
    with bound(cast.northside.pk):
        findings = list(Finding.objects.values_list("pk", flat=True))
    for finding in findings:
        page.goto(f"{address}/f/northside/findings/{finding}/")
        with page.expect_navigation():
            button(page, "Words checked")
    page.goto(address + url("review-read", visit))
    with page.expect_navigation():
        button(page, "Words checked: hand to")


def sign(page: Page, address: str, visit: Visit) -> None:
    page.goto(address + url("visit-sign", visit))
    tap(page.locator("form label:has(input[type=checkbox])").first)
    tap(page.get_by_role("button", name="Sign", exact=True))
    page.get_by_text("Signed").first.wait_for()


def release(page: Page, address: str, visit: Visit) -> None:
    page.goto(address + url("release-read", visit))
    button(page, "Release the report")
    page.get_by_role("link", name=re.compile("PDF")).first.wait_for(timeout=90_000)
    button(page, "Send a link")
    page.get_by_text("A link is on its way to Ada Buyer").wait_for()


def read(browser: Browser) -> None:
    link = mailed(r"http://\S+/r/\S+")
    token = link.rsplit("/", 1)[1]
    page = browser.new_context(viewport=PHONE).new_page()
    told: list[str] = []
    page.on("request", lambda r: told.append(r.headers.get("referer", "")))
    page.goto(link)
    assert "Alder Row" not in page.content()
    button(page, "Open")
    page.wait_for_url("**/r/report/")

    assert "14 Alder Row" in page.content()
    assert "made for no more than" in page.content()
    assert token not in page.url
    assert not [one for one in told if token in one]
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert not Axe().run(page)["violations"]


def test_from_the_booking_to_the_share_link(
    live_server: Any, browser: Browser, cast: Cast
) -> None:
    address = live_server.url
    office = signed_in(browser, address, cast.scheduler, DESK)
    book(office, address, cast)
    sign_agreement(browser)
    visit, walk = walked(cast)
    inspector = signed_in(browser, address, cast.ines, PHONE)
    map_a_breaker(inspector, address, visit, walk.id("e-main"))
    use_and_hand_in(inspector, address, visit)
    reviewer = signed_in(browser, address, cast.reviewer, DESK)
    check_words(reviewer, address, cast, visit)
    sign(inspector, address, visit)
    release(reviewer, address, visit)
    read(browser)
