"""The demo visit entered through the screens without a signal, every tap counted."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import transaction
from playwright.sync_api import Browser

from firm.models import Installation, Instrument
from inspections.models import Contact, Party, Visit
from inspections.selectors.folded import folded
from reports.demo import script, story
from tests.support.cast import Cast, make_cast
from tests.support.demo_by_thumb import Walk
from tests.support.demo_told import told
from tests.support.field_client import client
from tests.support.visits import STARTS, make_visit

pytestmark = [pytest.mark.browser, pytest.mark.by_thumb, pytest.mark.timeout(2400)]

MOST = 570  # on site; captions and marks are the desk's


@pytest.fixture
def booked(transactional_db: None) -> tuple[Cast, Visit]:
    Installation.objects.get_or_create()
    with transaction.atomic():
        cast = make_cast()
        visit = make_visit(cast.ines, starts=STARTS)
        for name, part in (("Dana Whitlow", "CLIENT"), ("Agnes Pomeroy", "AGENT")):
            contact = Contact.objects.create(firm=cast.northside, name=name)
            Party.objects.create(
                firm=cast.northside, visit=visit, contact=contact, part=part
            )
        for one in story.firm()["instruments"]:
            Instrument.objects.create(
                firm=cast.northside, key=one["key"], kind="tool", name=one["name"]
            )
    return cast, visit


def test_the_demo_visit_by_thumb(
    browser: Browser, live_server: Any, booked: tuple[Cast, Visit]
) -> None:
    cast, visit = booked
    said = script.write(
        run="by thumb", visit=visit.pk, starts_at=STARTS, zone="America/New_York"
    )
    page = client(browser, live_server.url, cast.ines)
    page.wait_for_function("() => navigator.serviceWorker.controller")
    page.context.set_offline(True)
    walk = Walk(page, said, story.stops())

    walk.all()

    with cast.inside():
        assert folded(cast.ines.actor, visit)[0] == {}
    page.context.set_offline(False)
    page.evaluate("kingpost.syncer.now()")
    page.wait_for_function(
        "() => [...kingpost.opened.values()].every((one) => one.seal?.whole)"
    )
    with cast.inside():
        records, conflicts = folded(cast.ines.actor, visit)
    ours, theirs = told(records, visit.pk), told(said.folded(), visit.pk)
    missing, more = theirs - ours, ours - theirs
    print("\n".join(walk.thumb.log))  # noqa: T201 - every tap, for who wants fewer
    print(walk.thumb.table())  # noqa: T201 - the table is what this is run for
    assert not conflicts
    print(walk.thumb.unmet)  # noqa: T201 - beside the table
    assert not missing, "\n".join(map(str, sorted(missing.elements(), key=str)))
    assert not more, "\n".join(map(str, sorted(more.elements(), key=str)))
    assert walk.on_site() <= MOST, f"{walk.on_site()} taps"
