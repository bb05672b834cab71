"""Finding an item of a stop by two letters: with the server, and on the device."""

from __future__ import annotations

from typing import Any

import pytest
from django.conf import settings
from django.db import transaction
from playwright.sync_api import Browser, Page

from findings.selectors.field.item_search import found
from firm.models import Installation
from tests.support.browser import PHONE, page_of, tap
from tests.support.cast import Cast, make_cast
from tests.support.field import started, url
from tests.support.visits import make_visit

LABELS = (
    "Moisture of wood", "Box, switch or splice", "Vents of the attic", "Data plate",
    "Roof structure", "Insulation", "Heat source", "Smoke or carbon monoxide alarm",
)  # fmt: skip
TYPED = (
    "", "w", "wo", "WO", "oi", "moisture wood", "mosture", "moistrue", "moistuure",
    "mpisture", "insl", "inslation", "insualtion", "box", "bxo", "alarm", "alarn",
    "alrm", "splice", "slice", "roof str", "zz", "zzzz", "plate d", "atic", "attci",
)  # fmt: skip
MEANT = {
    "wo": "Moisture of wood", "mosture": "Moisture of wood", "inslation": "Insulation",
    "attci": "Vents of the attic", "alarn": "Smoke or carbon monoxide alarm",
}  # fmt: skip

pytestmark = [pytest.mark.browser, pytest.mark.timeout(120)]


@pytest.fixture
def stop(live_server: Any, browser: Browser, transactional_db: None) -> Page:
    Installation.objects.get_or_create()
    with transaction.atomic():
        cast: Cast = make_cast()
        visit = make_visit(cast.ines)
    with cast.inside():
        stops = started(cast, visit, cast.ines.client())
    page = page_of(browser, live_server.url, cast.ines, viewport=PHONE)
    page.goto(live_server.url + url("stop-read", visit, stops["Attic"]))
    page.wait_for_load_state("networkidle")
    return page


def seen(page: Page) -> list[str]:
    return page.locator("[data-item]:visible").all_inner_texts()


def test_what_is_meant_is_found() -> None:
    for typed, label in MEANT.items():
        assert found(LABELS, typed) == [label]
    assert found(LABELS, "w") == list(LABELS)


def test_the_list_follows_the_letters_without_a_network(stop: Page) -> None:
    stop.context.set_offline(True)
    before, everything = len(seen(stop)), stop.locator("[data-item]").all()
    field = stop.get_by_role("searchbox", name="Find an item")
    field.press_sequentially("w")
    assert len(seen(stop)) == before
    field.press_sequentially("ood")

    said = stop.locator("[data-item-search] [role=status]")
    said.filter(has_text=f"1 of {len(everything)} items").wait_for(timeout=5000)
    assert seen(stop) == ["Moisture of wood"]
    field.press("Enter")
    assert stop.evaluate("document.activeElement.innerText") == "Moisture of wood"
    field.fill("")
    assert len(seen(stop)) == before


def test_what_a_thumb_presses_is_large_and_nothing_runs_over(stop: Page) -> None:
    stop.get_by_role("searchbox").fill("insl")
    sizes = stop.evaluate(
        "[...document.querySelectorAll('[data-item-search] input, "
        "[data-item-search] button, [data-item]:not([hidden]) a')]"
        ".filter(e => e.offsetParent).map(e => e.getBoundingClientRect().height)"
    )
    assert min(sizes) >= 48
    assert stop.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_the_server_finds_by_the_same_rule(
    live_server: Any, browser: Browser, stop: Page
) -> None:
    address = stop.url
    held = stop.context.storage_state()
    plain = browser.new_context(
        viewport=PHONE, java_script_enabled=False, storage_state=held
    )
    page = plain.new_page()
    page.goto(address)
    page.get_by_role("searchbox", name="Find an item").fill("mosture")
    tap(page.get_by_role("button", name="Find", exact=True))
    page.get_by_text("All items of this stop").wait_for()
    assert seen(page) == ["Moisture of wood"]
    page.goto(f"{address}?find=zzzz")
    assert "No item here is called like" in page.content()


def test_both_sides_find_the_same(stop: Page) -> None:
    static = settings.STATIC_URL
    told = stop.evaluate(
        """async ([address, labels, typed]) => {
          const { found } = await import(address);
          return typed.map((one) => found(labels, one));
        }""",
        [f"{static}js/lib/near.js", LABELS, TYPED],
    )
    assert told == [found(LABELS, one) for one in TYPED]
