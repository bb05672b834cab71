"""The states' standards in a browser: nothing for axe to say, small and wide."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import transaction
from playwright.sync_api import Browser, expect

from findings.models import DutyCheck
from firm.models import Installation
from inspections.models import Hold, Interest
from tests.browser.test_axe_pages import DESK, PHONE, assert_usable
from tests.support.browser import SETTLED, page_of, tap
from tests.support.cast import Person, make_cast
from tests.support.reviewed import at
from tests.support.walked import NOW, Walk, walk

pytestmark = [pytest.mark.browser, pytest.mark.timeout(600)]

TIE = "Our owner's sister sells the house."


@pytest.fixture
def made(transactional_db: None) -> Walk:
    Installation.objects.get_or_create()
    with transaction.atomic():
        cast = make_cast()
        walked = walk(cast)
        walked.clients("Dana Whitlow")
        shared = {"firm": cast.northside, "visit": walked.visit}
        Interest.objects.create(
            **shared,
            kind="tie",
            text=TIE,
            recorded_by=cast.scheduler.member,
            recorded_at=NOW,
        )
        Hold.objects.create(
            **shared,
            because="A letter about the roof",
            placed_by=cast.owner.member,
            placed_at=NOW,
        )
    return walked


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_the_pages_of_standards_are_usable(
    browser: Browser, made: Walk, live_server: Any, size: Any
) -> None:
    cast, visit = made.cast, made.visit.pk
    pages: dict[str, tuple[Person, str]] = {
        "standards": (cast.owner, at("standard-list")),
        "standard, on": (cast.owner, at("standard-read", "NC")),
        "standard, off": (cast.owner, at("standard-read", "TX")),
        "standard, read only": (cast.ines, at("standard-read", "WA")),
        "asks": (cast.owner, at("visit-asks", visit)),
        "asks, office": (cast.scheduler, at("visit-asks", visit)),
        "states": (cast.reviewer, at("visit-states", visit)),
    }

    assert_usable(browser, live_server.url, pages, size)


def test_a_refused_check_keeps_what_was_typed(
    browser: Browser, made: Walk, live_server: Any
) -> None:
    page = page_of(browser, live_server.url, made.cast.owner, viewport=PHONE)
    page.goto(live_server.url + at("standard-read", "TX"))
    page.wait_for_timeout(SETTLED)

    page.get_by_label("Where you read it, and when").fill("on the state's pages, May 4")
    page.locator("input[name=lines]").first.check()
    tap(page.get_by_role("button", name="I have read these"))

    expect(page.get_by_role("alert")).to_contain_text("Texas license")
    expect(page.get_by_label("Where you read it, and when")).to_have_value(
        "on the state's pages, May 4"
    )
    assert not DutyCheck.objects.exists()
