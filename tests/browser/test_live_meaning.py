"""What a form's values mean appears while they are typed, and without a network."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.db import transaction
from playwright.sync_api import Browser, Page

from firm.models import Installation
from tests.findings.test_field_panel_views import panel
from tests.support.browser import PHONE, page_of
from tests.support.cast import Cast, make_cast
from tests.support.field import started, url
from tests.support.visits import make_visit

pytestmark = [pytest.mark.browser, pytest.mark.timeout(120)]


@pytest.fixture
def form(live_server: Any, browser: Browser, transactional_db: None) -> Page:
    Installation.objects.get_or_create()
    with transaction.atomic():
        cast: Cast = make_cast()
        visit = make_visit(cast.ines)
    with cast.inside():
        stops = started(cast, visit, cast.ines.client())
    page = page_of(browser, live_server.url, cast.ines, viewport=PHONE)
    garage = next(key for name, key in stops.items() if "arage" in name)
    with page.expect_response("**/api/v1/rules"):
        page.goto(live_server.url + url("item-write", visit, garage, "garage_opener"))
    return page


def pick(page: Page, name: str, value: str) -> None:
    page.locator(f"input[name={name}][value='{value}']").check(force=True)


def test_a_meaning_stands_by_the_form_while_it_is_filled_in(form: Page) -> None:
    form.wait_for_timeout(300)
    form.context.set_offline(True)
    said = form.locator("[data-live]")
    assert said.inner_text() == ""

    pick(form, "turned_back", "no")
    said.filter(has_text="It does not turn back on a block of wood.").wait_for()
    assert "meaning--weighs" in (said.get_attribute("class") or "")

    pick(form, "turned_back", "yes")
    pick(form, "sensors", "present")
    said.filter(has_text="It turned back.").wait_for()

    form.fill("[name=sensor_height_in]", "900")
    said.filter(has_text="is above 120").wait_for()

    pick(form, "sensors", "looked_none")
    form.fill("[name=sensor_height_in]", "5")
    said.filter(has_text="No sensors were found, and yet their height").wait_for()


@pytest.fixture
def visit(live_server: Any, transactional_db: None) -> tuple[Cast, Any, dict[str, str]]:
    Installation.objects.get_or_create()
    with transaction.atomic():
        cast: Cast = make_cast()
        visit = make_visit(cast.ines)
    with cast.inside():
        stops = started(cast, visit, cast.ines.client())
    return cast, visit, stops


def opened(live_server: Any, browser: Browser, cast: Cast, address: str) -> Page:
    """A form whose rules are there, and no network any more."""
    page = page_of(browser, live_server.url, cast.ines, viewport=PHONE)
    with page.expect_response("**/api/v1/rules"):
        page.goto(live_server.url + address)
    page.wait_for_timeout(300)
    page.context.set_offline(True)
    return page


def test_a_space_says_what_its_breaker_and_wire_mean(
    live_server: Any, browser: Browser, visit: tuple[Cast, Any, dict[str, str]]
) -> None:
    cast, booked, _ = visit
    with cast.inside():
        key = panel(cast, booked, cast.ines.client())
    page = opened(live_server, browser, cast, url("space-write", booked, key, 3))
    said = page.locator("[data-live]")
    pick(page, "space_kind", "breaker")
    page.fill("[name=amps]", "30")
    assert said.inner_text() == ""  # half a space means nothing yet
    page.select_option("[name=size]", "14")
    pick(page, "material", "copper")
    page.select_option("[name=load]", "general")
    said.filter(has_text="30 A").wait_for(timeout=3000)
    assert "meaning--weighs" in (said.get_attribute("class") or "")

    page.fill("[name=amps]", "300")
    said.filter(has_text="is it typed right?").wait_for(timeout=3000)
    page.fill("[name=amps]", "15")
    page.wait_for_timeout(200)
    assert "meaning--weighs" not in (said.get_attribute("class") or "")


def test_a_receptacle_says_what_its_lamps_mean_and_what_it_needs(
    live_server: Any, browser: Browser, visit: tuple[Cast, Any, dict[str, str]]
) -> None:
    cast, booked, stops = visit
    address = url("receptacle-write", booked, stops["Kitchen"], uuid4())
    page = opened(live_server, browser, cast, address)
    said = page.locator("[data-live]")
    assert said.inner_text() == ""
    page.locator("[name=lamps_none]").check(force=True)
    said.filter(has_text="Needs").wait_for(timeout=3000)
    page.locator("[name=lamps][value=hot_neutral]").check(force=True)
    said.filter(has_text="ground").wait_for(timeout=3000)
    assert "meaning--weighs" in (said.get_attribute("class") or "")


def test_an_item_says_what_it_still_needs(
    live_server: Any, browser: Browser, visit: tuple[Cast, Any, dict[str, str]]
) -> None:
    cast, booked, stops = visit
    address = url("item-write", booked, stops["Kitchen"], "guard")
    page = opened(live_server, browser, cast, address)
    said = page.locator("[data-live]")
    assert said.inner_text() == ""
    page.fill("[name=height_in]", "30")
    said.filter(has_text="Needs").wait_for(timeout=3000)
