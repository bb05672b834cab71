"""The route changed on site: a room more, another order, an empty one less."""

from __future__ import annotations

from typing import Any

import pytest
from axe_core_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from findings.standards.matching import stops_by_route
from inspections.models import Visit
from tests.browser.test_field_client import (
    begun,
    booked,
    controlled,
    key,
    records,
    sent,
)
from tests.support.browser import tap
from tests.support.cast import Cast
from tests.support.field_client import at, client

pytestmark = [pytest.mark.browser, pytest.mark.timeout(300)]
__all__ = ["booked"]


def route_on(page: Page) -> list[str]:
    return list(
        page.evaluate(
            "[...kingpost.opened.values()][0].stops().map(([, stop]) => stop.name)"
        )
    )


def by_http(cast: Cast, visit: Visit) -> list[str]:
    answer = cast.ines.client().get(f"/api/v1/visits/{visit.pk}")
    assert answer.status_code == 200
    return [stop["name"] for stop in answer.json()["stops"]]


def sewing_room(page: Page) -> None:
    """Add a room after the third bedroom, and see that the form is for everybody."""
    tap(page.get_by_role("link", name="Bedroom 3"))
    tap(page.get_by_role("link", name="One more stop after this"))
    tap(key(page, "Bedroom"))
    expect(page.get_by_label("Name")).to_have_value("Bedroom 4")
    page.get_by_label("Name").fill("Sewing room")
    tap(key(page, "Third"))
    assert Axe().run(page)["violations"] == []
    tap(key(page, "Add it"))
    page.get_by_role("heading", name="Sewing room").wait_for()


def changed(page: Page, visit: Visit) -> list[str]:
    """Move two stops, name one anew; returns the names in their order before."""
    at(page, f"/v/{visit.pk}/stops")
    before = route_on(page)
    place = before.index("Sewing room")
    for _ in range(3):
        tap(key(page, "Earlier: Sewing room"))
    expect(page.get_by_text(f"now {place - 2} of {len(before)}")).to_be_visible()
    expect(key(page, "Earlier: Sewing room")).to_be_focused()
    tap(key(page, "Later: Kitchen"))
    tap(page.get_by_role("link", name="Laundry"))
    page.get_by_label("Name").first.fill("Mud room")
    page.get_by_label("Name").first.blur()
    return before


def test_a_room_is_added_moved_and_renamed_without_a_signal(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    controlled(page)
    page.context.set_offline(True)
    begun(page, visit)
    sewing_room(page)

    before = changed(page, visit)
    place = before.index("Sewing room")
    assert before[place - 1] == "Bedroom 3"

    at(page, f"/v/{visit.pk}/stops")
    page.reload()  # from cold, and still without a signal
    page.get_by_role("heading", name="Stops of this visit").wait_for()
    after = route_on(page)
    assert after.index("Sewing room") == place - 3
    assert after.index("Kitchen") == before.index("Kitchen") + 1
    assert after[before.index("Laundry")] == "Mud room"

    page.context.set_offline(False)
    sent(page)
    assert by_http(cast, visit) == after
    found = records(cast, visit)
    assert [one["name"] for _, one in stops_by_route(found)] == after
    added = next(one for one in found.values() if one.get("name") == "Sewing room")
    assert added["room_use"] == "bedroom"
    assert added["floor"] == "third"
    assert added["on_site"] is True


def test_the_ends_do_not_move_further_and_an_empty_stop_comes_off(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    at(page, f"/v/{visit.pk}/s/{kitchen}/note")
    page.get_by_label("In your words").fill("A note keeps the kitchen.")
    page.wait_for_function("() => [...kingpost.opened.values()][0].of('note').length")
    at(page, f"/v/{visit.pk}/stops")
    expect(key(page, "Earlier: Arrival")).to_be_disabled()
    expect(key(page, "Later: Leaving")).to_be_disabled()

    tap(page.get_by_role("button", name="Take off an empty one"))
    page.get_by_role("button", name="Take off: Bedroom 3").wait_for()
    assert not page.get_by_role("button", name="Take off: Kitchen").count()
    assert Axe().run(page)["violations"] == []
    tap(page.get_by_role("button", name="Take off: Bedroom 3"))
    page.get_by_text("Taken off: Bedroom 3.").wait_for()
    assert "Bedroom 3" not in route_on(page)
    tap(key(page, "Undo"))
    page.wait_for_timeout(300)
    assert "Bedroom 3" in route_on(page)
    tap(page.get_by_role("button", name="Take off: Bedroom 2"))
    page.get_by_text("Taken off: Bedroom 2.").wait_for()
    sent(page)

    told = by_http(cast, visit)
    assert told == route_on(page)
    assert "Bedroom 2" not in told


def test_two_phones_that_move_one_stop_are_asked_in_words(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    first = client(browser, live_server.url, cast.ines)
    begun(first, visit)
    sent(first)
    second = client(browser, live_server.url, cast.ines, f"/v/{visit.pk}")
    second.get_by_role("link", name="Kitchen").wait_for()
    sent(second)
    for page, by in ((first, "Earlier"), (second, "Later")):
        at(page, f"/v/{visit.pk}/stops")
        tap(key(page, f"{by}: Dining room"))
        page.wait_for_timeout(300)
    sent(first)
    second.evaluate("kingpost.syncer.now()")
    second.wait_for_function(
        "() => [...kingpost.opened.values()][0].conflicts().length === 1"
    )

    at(second, f"/v/{visit.pk}/conflicts")
    second.get_by_text("its place on the route").wait_for()
    second.get_by_role("button", name="Keep it after Kitchen").wait_for()
    tap(second.get_by_role("button", name="Keep it after Hall"))
    sent(second)
    sent(first)

    assert route_on(first) == route_on(second)
    assert by_http(cast, visit) == route_on(second)
