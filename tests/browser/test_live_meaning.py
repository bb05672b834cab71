"""What a form's values mean appears while they are typed, and without a network."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import transaction
from playwright.sync_api import Browser, Page

from firm.models import Installation
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
