"""A trainee and the inspector on one visit, each with a phone of their own."""

from __future__ import annotations

from typing import Any

import pytest
from axe_core_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from inspections.models import Companion, Visit
from tests.browser.test_field_client import (
    begun,
    booked,
    controlled,
    key,
    records,
    sent,
)
from tests.support.browser import page_of, tap
from tests.support.cast import Cast
from tests.support.field_client import at, client

pytestmark = [pytest.mark.browser, pytest.mark.timeout(300)]
__all__ = ["booked"]

LINE = "The range hood blows back into the room."


@pytest.fixture
def beside(booked: tuple[Cast, Visit]) -> tuple[Cast, Visit]:
    cast, visit = booked
    with cast.inside():
        Companion.objects.create(
            firm=cast.northside, visit=visit, member=cast.trainee.member
        )
    return cast, visit


def fine(page: Page) -> None:
    assert Axe().run(page)["violations"] == []


def recorded_without_a_signal(page: Page, visit: Visit, kitchen: str) -> None:
    """The trainee says something, and finds no key for what is the inspector's."""
    page.context.set_offline(True)
    at(page, f"/v/{visit.pk}/s/{kitchen}/finding")
    page.get_by_label("In one line").fill(LINE)
    page.wait_for_function(
        "() => [...kingpost.opened.values()][0].of('hand_finding').length"
    )
    at(page, f"/v/{visit.pk}/s/{kitchen}")
    expect(page.locator(".row", has_text=LINE)).to_contain_text("you, in training")
    at(page, f"/v/{visit.pk}/s/{kitchen}/leave")
    page.get_by_text("Ines Field has not stood for this stop yet.").wait_for()
    assert not page.get_by_role("button", name="Looked at everything here").count()
    fine(page)
    tap(page.get_by_role("button", name="Go on Ines Field closes it"))
    page.get_by_role("heading", name="Living room").wait_for()
    at(page, f"/v/{visit.pk}/leave")
    page.get_by_text("Ines Field says when you leave, and signs.").wait_for()
    assert not page.get_by_role("button", name="I drive off now").count()
    at(page, f"/v/{visit.pk}/door")
    page.get_by_text("payment are for Ines Field").wait_for()
    page.context.set_offline(False)


def stood_for(page: Page, visit: Visit, kitchen: str) -> None:
    """The inspector sees whose it is, stands for it, and closes the stop."""
    at(page, f"/v/{visit.pk}/s/{kitchen}")
    row = page.locator(".row", has_text=LINE)
    expect(row).to_contain_text("Tova Trainee, in training")
    tap(row)
    page.get_by_text(
        "Recorded by Tova Trainee, in training, beside Ines Field."
    ).wait_for()
    fine(page)
    at(page, f"/v/{visit.pk}/leave")
    part = page.locator("section", has_text="Recorded in training, not stood for yet")
    tap(part.get_by_role("link", name="Kitchen Tova Trainee"))
    tap(page.get_by_role("button", name="I was here and stand for it"))
    fine(page)
    page.get_by_text("said at").wait_for()
    tap(page.get_by_role("button", name="Looked at everything here"))
    page.get_by_text("Kitchen closed.").wait_for()


def test_who_recorded_what_is_seen_on_both_phones_and_in_the_office(
    browser: Browser, live_server: Any, beside: tuple[Cast, Visit]
) -> None:
    cast, visit = beside
    hers = client(browser, live_server.url, cast.ines)
    kitchen = begun(hers, visit)
    sent(hers)
    theirs = client(browser, live_server.url, cast.trainee, f"/v/{visit.pk}")
    theirs.get_by_role("link", name="Kitchen").wait_for()
    controlled(theirs)
    recorded_without_a_signal(theirs, visit, kitchen)
    sent(theirs)

    sent(hers)
    stood_for(hers, visit, kitchen)
    sent(hers)
    sent(theirs)

    at(theirs, f"/v/{visit.pk}/s/{kitchen}/leave")
    theirs.get_by_text("Ines Field was here and stands for it").wait_for()
    found = records(cast, visit)
    assert found[kitchen]["attested_at"]
    assert found[kitchen]["closed_at"]
    assert [one["line"] for one in found.values() if "line" in one] == [LINE]
    office = page_of(browser, live_server.url, cast.reviewer)
    office.goto(f"{live_server.url}/f/northside/visits/{visit.pk}/review/")
    part = office.locator("section", has_text="Recorded in training")
    expect(part).to_contain_text("Kitchen")
    expect(part).to_contain_text("Tova Trainee")
    expect(part).to_contain_text("Ines Field was there")


def test_what_a_trainee_does_all_the_same_is_kept_apart(
    browser: Browser, live_server: Any, beside: tuple[Cast, Visit]
) -> None:
    cast, visit = beside
    page = client(browser, live_server.url, cast.trainee)
    kitchen = begun(page, visit)
    page.evaluate(
        "([stop, now]) => [...kingpost.opened.values()][0]"
        ".set(stop, { closed_at: now })",
        [kitchen, "2026-11-24T15:00:00Z"],
    )

    sent(page)

    at(page, f"/v/{visit.pk}/kept")
    page.get_by_text("the inspector does this, not a trainee").wait_for()
    assert "closed_at" not in records(cast, visit)[kitchen]
    assert key(page, "Done").count() == 1
