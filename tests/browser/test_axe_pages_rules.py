"""The rules book in a browser: nothing for axe to say, and a decision by keyboard."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import transaction
from playwright.sync_api import Browser, expect

from findings.models import RuleRuling
from firm.models import Installation
from tests.browser.test_axe_pages import DESK, PHONE, assert_usable
from tests.findings.rulings import OWN_TEXT, ruling
from tests.support.browser import SETTLED, page_of
from tests.support.cast import Cast, Person, make_cast
from tests.support.reviewed import at
from tests.support.walked import walk

pytestmark = [pytest.mark.browser, pytest.mark.timeout(600)]

SMALL = "elec.ocpd.small_conductor"


@pytest.fixture
def cast(transactional_db: None) -> Cast:
    Installation.objects.get_or_create()
    with transaction.atomic():
        made = make_cast()
        walked = walk(made)
        walked.decide("change", consequence="upkeep", timing="watch")
        walked.hand_in()
        broken = OWN_TEXT.replace("amps >= 20", "amperes >= 20")
        ruling(made.owner, "own.broken", "OWN", definition=broken)
        ruling(made.owner, "own.large", "OWN", definition=OWN_TEXT)
        ruling(made.owner, SMALL, "LEVEL", timing="today", reason="at once, always")
    return made


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_the_rules_book_is_usable(
    browser: Browser, cast: Cast, live_server: Any, size: Any
) -> None:
    pages: dict[str, tuple[Person, str]] = {
        "rules": (cast.owner, at("rule-list")),
        "rules found": (cast.ines, at("rule-list") + "?find=chimney"),
        "rule": (cast.owner, at("rule-read", SMALL)),
        "rule read": (cast.reviewer, at("rule-read", "stairs.geometry")),
        "rule own": (cast.owner, at("rule-read", "own.large")),
        "rule broken": (cast.owner, at("rule-read", "own.broken")),
        "rule new": (cast.owner, at("rule-own")),
    }

    assert_usable(browser, live_server.url, pages, size)


def test_a_rule_is_switched_off_with_the_keyboard_alone(
    browser: Browser, cast: Cast, live_server: Any
) -> None:
    page = page_of(browser, live_server.url, cast.owner, viewport=PHONE)
    page.goto(live_server.url + at("rule-read", "stairs.geometry"))
    page.wait_for_timeout(SETTLED)

    page.get_by_text("Switch it off").first.focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("Say why")
    page.wait_for_timeout(SETTLED)
    page.get_by_label("Because").first.focus()
    page.keyboard.type("we measure stairs another way")
    page.keyboard.press("Enter")

    expect(page.get_by_text("switched off", exact=True)).to_be_visible()
    with cast.inside():
        assert RuleRuling.objects.get(rule="stairs.geometry").kind == "OFF"
