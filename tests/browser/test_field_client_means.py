"""What the whole house means, on a phone without a signal; then held to the server."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any
from uuid import NAMESPACE_URL, uuid5

import pytest
from django.db import transaction
from playwright.sync_api import Browser, Page, expect

from findings.selectors.evaluation import evaluate
from firm.models import Installation
from inspections.models import Visit
from tests.browser.test_field_client import sent
from tests.support import house_1978
from tests.support.browser import tap
from tests.support.cast import Cast, make_cast
from tests.support.field_client import at, client, quiet
from tests.support.visits import make_visit

pytestmark = [pytest.mark.browser, pytest.mark.timeout(300)]

START = datetime(2026, 11, 24, 14, 0, tzinfo=UTC)
MADE = "async (id) => (await (await import("
MADE += "'/static/js/field/core/whole_house.js')).settledOf(await kingpost.visit(id)))"
# As if the rule had been written anew since this phone fetched the book.
OLDER = """async (id) => {
  (await kingpost.visit(id)).book.rules.rules["elec.smoke.location"].stamp = "0";
}"""
POINTING = ("stop", "fed_from", "reach")
LATER = {"kind": "receptacle", "place": "right of the sink", "contacts": "three",
         "receptacle_kind": "counter", "gfci_kind": "none",
         "lamps": ["hot_neutral", "hot_ground"]}  # fmt: skip


@pytest.fixture
def booked(browser: Browser, transactional_db: None) -> Iterator[tuple[Cast, Visit]]:
    Installation.objects.get_or_create()
    with transaction.atomic():
        cast = make_cast()
        visit = make_visit(cast.ines, starts=START)
    yield cast, visit
    quiet(browser)


def named(name: str) -> str:
    return str(uuid5(NAMESPACE_URL, name))


def house(visit: Visit) -> dict[str, dict[str, Any]]:
    """Give the house of 1978 as a log holds it: every record under a uuid."""
    records = house_1978.records()
    ids = {name: named(name) for name in records} | {"visit": str(visit.pk)}
    about = records["visit"] | {"built_year": 1978}
    return {
        ids[name]: {
            field: ids.get(value, value) if field in POINTING else value
            for field, value in one.items()
        }
        for name, one in (records | {"visit": about}).items()
    }


def enter(page: Page, visit: Visit, records: dict[str, dict[str, Any]]) -> None:
    page.evaluate(
        "async ({ id, rows }) => (await kingpost.visit(id)).setAll(rows)",
        {"id": str(visit.pk), "rows": list(records.items())},
    )


def made(page: Page, visit: Visit) -> list[dict[str, Any]]:
    """Give what the phone offers now, by its own working out, in the server's form."""
    found = page.evaluate(MADE, str(visit.pk))
    offered: list[dict[str, Any]] = found["proposals"][: found["offered"]]
    for one in offered:
        assert one.pop("covers") == (one["parts"] or [one["key"]])
    return offered


def test_the_phone_alone_says_what_the_whole_house_means(booked, browser, live_server):
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines, f"/v/{visit.pk}/means")
    page.context.set_offline(True)
    enter(page, visit, house(visit))

    # No alarm in any room, and protection missing in several: no record says it alone.
    page.get_by_text("Smoke alarms").first.wait_for()
    line = page.locator(".meaning-line", has_text="Ground-fault protection").first
    expect(line).to_contain_text("Bathroom, beside the basin")
    alone = made(page, visit)
    enter(page, visit, {named("later"): LATER | {"stop": named("s-kit")}})
    expect(line).to_contain_text("right of the sink")
    tap(line.get_by_role("button", name="Use", exact=True))
    page.get_by_text("Answered.").wait_for()

    page.context.set_offline(False)
    sent(page)
    with cast.inside():
        theirs = [one.as_dict() for one in evaluate(cast.ines.actor, visit).proposals]
    mine = made(page, visit)
    assert len(alone) >= 4
    assert any(len(one["parts"]) > 1 for one in alone)
    assert any(one["decision"] for one in mine)
    assert json.dumps(mine) == json.dumps(theirs)
    assert page.evaluate("kingpost.syncer.alarms") == []


def test_a_difference_to_the_server_is_told(booked, browser, live_server):
    cast, visit = booked
    page = client(browser, live_server.url, cast.ines)
    page.evaluate(OLDER, str(visit.pk))
    at(page, f"/v/{visit.pk}/means")
    enter(page, visit, house(visit))
    page.get_by_text("Smoke alarms").first.wait_for()
    sent(page)
    page.wait_for_function("() => kingpost.syncer.alarms.length")

    at(page, f"/v/{visit.pk}/sync")

    page.get_by_text("differently on 2 points").wait_for()
