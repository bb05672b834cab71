"""The field client in a real browser: without a signal, and coming back to one."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction
from playwright.sync_api import Browser, Page, expect

from firm.models import Installation
from inspections.models import (
    Agreement,
    AgreementSignature,
    Contact,
    ManifestProof,
    Party,
    Visit,
)
from inspections.selectors.folded import folded
from tests.support.browser import page_of, tap
from tests.support.cast import PASSWORD, Cast, make_cast
from tests.support.field_client import at, client, quiet
from tests.support.pictures import quarters
from tests.support.pictures import saved as saved_as
from tests.support.visits import make_visit

pytestmark = [pytest.mark.browser, pytest.mark.timeout(300)]

START = datetime(2026, 11, 24, 14, 0, tzinfo=UTC)
TEXT = "We look at what can be seen.\n\nWe say what could not be seen, and why."


@pytest.fixture
def booked(browser: Browser, transactional_db: None) -> Iterator[tuple[Cast, Visit]]:
    Installation.objects.get_or_create()
    with transaction.atomic():
        cast = make_cast()
        visit = make_visit(cast.ines, starts=START)
        wren = Contact.objects.create(firm=cast.northside, name="Wren Halloway")
        Party.objects.create(
            firm=cast.northside, visit=visit, contact=wren, part=Party.As.CLIENT
        )
        digest = hashlib.sha256(TEXT.encode()).hexdigest()
        Agreement.objects.create(
            firm=cast.northside, visit=visit, text=TEXT, text_sha256=digest,
            made_at=START,
        )  # fmt: skip
    yield cast, visit
    quiet(browser)


def key(page: Page, name: str) -> Any:
    return page.get_by_role("button", name=name, exact=True)


def begun(page: Page, visit: Visit) -> str:
    """Begin the walk with the usual rooms; returns the kitchen's stop."""
    at(page, f"/v/{visit.pk}/begin")
    tap(page.get_by_role("button", name="Begin the walk"))
    page.get_by_role("link", name="Kitchen").wait_for()
    address = page.get_by_role("link", name="Kitchen").get_attribute("href") or ""
    return address.rsplit("/", 1)[-1]


def records(cast: Cast, visit: Visit) -> dict[str, dict[str, Any]]:
    with cast.inside():
        return folded(cast.ines.actor, visit)[0]


def sent(page: Page) -> None:
    """Send, and wait until all of it is proven to be on the server."""
    page.evaluate("kingpost.syncer.now()")
    page.wait_for_function(
        "() => { const v = [...kingpost.opened.values()]; return v.length"
        " && v.every((one) => one.seal?.whole && !one.outbox.waiting().length); }"
    )


def saved(page: Page) -> int:
    return int(page.evaluate("[...kingpost.opened.values()][0].outbox.counts().saved"))


def controlled(page: Page) -> None:
    """Wait until the worker serves the page and holds all of its version."""
    page.wait_for_function("() => navigator.serviceWorker.controller")


def test_what_is_entered_without_a_signal_is_there_after_a_reload_and_is_sent_later(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit], tmp_path: Path
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    controlled(page)
    page.context.set_offline(True)
    kitchen = begun(page, visit)
    at(page, f"/v/{visit.pk}/s/{kitchen}/finding")
    page.get_by_label("In one line").fill("The trap drips at its nut.")
    page.wait_for_function(
        "() => [...kingpost.opened.values()][0].of('hand_finding').length"
    )
    picture = tmp_path / "trap.jpg"
    picture.write_bytes(saved_as(quarters(640, 480), "JPEG"))
    page.locator("input[type=file]").first.set_input_files(str(picture))
    page.get_by_text("Kept with its picture.").wait_for()
    before = saved(page)

    page.reload()  # from cold: no network at all
    page.locator("h1").wait_for()
    page.locator("h1", has_text="12 Sawmill Row").wait_for()
    at(page, f"/v/{visit.pk}/s/{kitchen}")
    expect(page.get_by_text("The trap drips at its nut.")).to_be_visible()
    assert saved(page) >= before
    assert records(cast, visit) == {}

    page.context.set_offline(False)
    sent(page)
    found = records(cast, visit)
    said = [one for one in found.values() if one["kind"] == "hand_finding"]
    photo = next(one for one in found.values() if one["kind"] == "photo")
    assert said[0]["line"] == "The trap drips at its nut."
    assert said[0]["on_site"] is True
    assert photo["use"] == "shows_it"
    assert (photo["width"], photo["height"]) == (640, 480)


def test_a_picture_that_the_closed_app_lost_is_named_on_the_next_start(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    place = f"/v/{visit.pk}/s/{kitchen}"
    at(page, place)
    with page.expect_file_chooser():
        tap(page.locator(".shutter").first)
    page.wait_for_timeout(200)

    page.goto(f"{live_server.url}/field/")
    page.get_by_text("that picture did not arrive").wait_for()
    tap(key(page, "Go there"))

    page.get_by_role("heading", name="Kitchen").wait_for()
    page.goto(f"{live_server.url}/field/")
    page.locator(".rows .row").first.wait_for()
    assert not page.get_by_text("that picture did not arrive").count()


def test_signed_out_it_goes_on_and_sends_after_signing_in_over_the_page(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    page.context.clear_cookies()
    at(page, f"/v/{visit.pk}/s/{kitchen}/finding")
    line = page.get_by_label("In one line")
    line.fill("Half typed, and the session ends")
    page.evaluate("kingpost.syncer.now()")

    tap(key(page, "Sign in"))
    page.get_by_label("E-mail").fill(cast.ines.user.email)
    page.get_by_label("Password").fill("wrong one")
    tap(page.locator("dialog").get_by_role("button", name="Sign in"))
    expect(page.locator("#sign-in-words")).to_contain_text("do not belong together")
    page.get_by_label("Password").fill(PASSWORD)
    tap(page.locator("dialog").get_by_role("button", name="Sign in"))
    page.locator("dialog").wait_for(state="detached")

    expect(line).to_have_value("Half typed, and the session ends")
    sent(page)
    lines = [one.get("line") for one in records(cast, visit).values()]
    assert "Half typed, and the session ends" in lines


def test_another_persons_session_sends_nothing_of_the_first(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    controlled(page)
    page.context.set_offline(True)
    begun(page, visit)
    waiting = saved(page)
    cookie = cast.omar.client().cookies["session"].value
    page.context.clear_cookies()
    page.context.add_cookies(
        [{"name": "session", "value": cookie, "url": live_server.url}]
    )
    page.context.set_offline(False)

    page.evaluate("kingpost.syncer.now()")

    page.get_by_text("is signed in here").wait_for()
    assert records(cast, visit) == {}
    assert saved(page) == waiting
    tap(page.get_by_role("button", name="Show Omar"))
    page.get_by_text("Your visits").wait_for()
    assert records(cast, visit) == {}


def test_two_phones_say_two_things_and_a_person_chooses(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    first = client(browser, live_server.url, cast.ines)
    kitchen = begun(first, visit)
    sent(first)
    second = client(browser, live_server.url, cast.ines, f"/v/{visit.pk}")
    second.get_by_role("link", name="Kitchen").wait_for()
    sent(second)
    for page, name in ((first, "Galley"), (second, "Cookroom")):
        at(page, f"/v/{visit.pk}/s/{kitchen}/i/this_place")
        page.get_by_label("Name").first.fill(name)
        page.get_by_label("Name").first.blur()
        page.wait_for_timeout(300)

    sent(first)
    second.evaluate("kingpost.syncer.now()")
    second.wait_for_function(
        "() => [...kingpost.opened.values()][0].conflicts().length === 1"
    )
    at(second, f"/v/{visit.pk}/conflicts")
    second.get_by_role("button", name="Keep Galley").wait_for()
    tap(second.get_by_role("button", name="Keep Cookroom"))
    sent(second)

    assert records(cast, visit)[kitchen]["name"] == "Cookroom"
    with cast.inside():
        assert folded(cast.ines.actor, visit)[1] == {}


def test_a_client_signs_on_the_phone_without_a_signal(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    controlled(page)
    page.context.set_offline(True)
    at(page, f"/v/{visit.pk}/door")
    tap(page.get_by_role("link", name="Wren Halloway"))
    page.get_by_text("We say what could not be seen").wait_for()
    tap(key(page, "I sign this agreement"))
    page.get_by_text("Sign on the line, or choose to type").wait_for()
    pad = page.get_by_role("img", name="The line to sign on")
    box = pad.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 40, box["y"] + 50)
    page.mouse.down()
    page.mouse.move(box["x"] + 160, box["y"] + 20, steps=8)
    page.mouse.up()
    tap(key(page, "I sign this agreement"))
    page.get_by_text(", on this phone").wait_for()

    page.context.set_offline(False)
    sent(page)

    with cast.inside():
        row = AgreementSignature.objects.get(party__contact__name="Wren Halloway")
        assert row.signed_at is not None
        assert row.signed_name == "Wren Halloway"


def test_a_panel_is_painted_with_few_taps_and_counts_when_it_is_done(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    begun(page, visit)
    tap(page.get_by_role("link", name="Service equipment"))
    tap(page.get_by_role("button", name="Panelboard"))
    tap(key(page, "30"))
    tap(key(page, "15 A, 14 copper"))
    tap(page.get_by_role("button", name="All 30 still empty"))
    tap(page.get_by_role("button", name="20 A, 12 copper", exact=True))
    for number in (1, 4, 7):
        tap(page.locator(f'[data-number="{number}"]'))
    tap(page.get_by_role("button", name="Map done"))
    sent(page)

    found = records(cast, visit).values()
    spaces = {one["number"]: one for one in found if one["kind"] == "space"}
    assert len(spaces) == 30
    assert {n for n, one in spaces.items() if one["amps"] == 20} == {1, 4, 7}
    assert all(
        one["size"] == ("12" if one["amps"] == 20 else "14") for one in spaces.values()
    )
    assert [one["map_done"] for one in found if one["kind"] == "enclosure"] == [True]


def test_leaving_a_stop_closes_what_was_looked_at_and_goes_on(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    at(page, f"/v/{visit.pk}/s/{kitchen}")
    page.get_by_role("group", name="Receptacles tried, all correct").get_by_role(
        "button", name="4", exact=True
    ).click()
    tap(page.get_by_role("link", name="Leave"))
    tap(page.get_by_role("button", name="Looked at everything here"))
    # The way back is offered for some seconds only: first that.
    tap(page.get_by_role("button", name="Undo"))
    page.wait_for_timeout(300)
    sent(page)
    assert "closed_at" not in records(cast, visit)[kitchen]

    at(page, f"/v/{visit.pk}/s/{kitchen}/leave")
    tap(page.locator(".row", has_text="Look at the floor structure"))
    tap(page.get_by_role("button", name="Looked at everything here"))
    page.get_by_text("Kitchen closed.").wait_for()
    page.evaluate(
        "clearTimeout(kingpost.quiet)"
    )  # sending may take longer than it stays
    sent(page)
    stop = records(cast, visit)[kitchen]
    assert stop["receptacles_tried"] == stop["receptacles_correct"] == 4
    assert stop["method"] == "entered"
    assert stop["closed_at"]
    assert len(stop["closed_struck"]) == 1


def test_a_newer_version_waits_for_what_is_unsent(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    controlled(page)
    page.context.set_offline(True)
    begun(page, visit)
    page.evaluate(
        "kingpost.newer.value = { postMessage: (said) => { globalThis.told = said; } }"
    )

    tap(key(page, "Update"))
    page.get_by_text("Send everything first").wait_for()
    assert page.evaluate("globalThis.told") is None

    page.context.set_offline(False)
    sent(page)
    tap(key(page, "Update"))
    page.wait_for_timeout(300)
    assert page.evaluate("globalThis.told") == "take over"


def test_what_is_whole_is_told_once_and_kept_with_the_visit(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    sent(page)
    sent(page)
    with cast.inside():
        told = list(ManifestProof.objects.order_by("version"))
        visit.refresh_from_db()
        by = told[-1].by
    assert len({proof.digest for proof in told}) == len(told)
    assert (by, told[-1].version) == (cast.ines.member, visit.version)
    assert told[0].count

    at(page, f"/v/{visit.pk}/s/{kitchen}/finding")
    page.get_by_label("In one line").fill("The trap drips at its nut.")
    page.wait_for_function(
        "() => [...kingpost.opened.values()][0].of('hand_finding').length"
    )
    sent(page)

    with cast.inside():
        assert ManifestProof.objects.filter(version__gt=told[-1].version).exists()
        visit.refresh_from_db()
    desk = page_of(browser, live_server.url, cast.owner)
    desk.goto(f"{live_server.url}/f/northside/bookings/{visit.pk}/")
    said = f"{visit.version} entries, 0 photos: all on the server, confirmed by Ines"
    expect(desk.get_by_text(said)).to_be_visible()


def test_a_full_phone_says_not_saved_and_keeps_the_words(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    kitchen = begun(page, visit)
    at(page, f"/v/{visit.pk}/s/{kitchen}/finding")
    page.evaluate(
        "() => { kingpost.store.tx = async () => {"
        " throw new DOMException('full', 'QuotaExceededError'); }; }"
    )

    page.get_by_label("In one line").fill("Nowhere to put this")

    page.get_by_text("Not saved: this phone has no room left").wait_for()
    expect(page.get_by_label("In one line")).to_have_value("Nowhere to put this")
