"""The walk in a real browser at two widths: nothing for axe to say, no spill."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any
from uuid import UUID, uuid4

import pytest
from axe_core_python.sync_playwright import Axe
from playwright.sync_api import Browser

from findings.services import renditions
from firm.models import Installation
from firm.tenancy import bound
from inspections.models import Visit
from inspections.selectors.folded import folded
from inspections.services import log, uploads
from reports.demo import script
from tests.support.browser import page_of
from tests.support.cast import Cast, make_cast
from tests.support.field import url
from tests.support.visits import make_visit, mutation

pytestmark = [pytest.mark.browser, pytest.mark.timeout(600)]

START = datetime(2026, 11, 24, 14, 0, tzinfo=UTC)
WIDTHS = (360, 1280)
PICTURES = 12


@pytest.fixture
def walked(transactional_db: None) -> tuple[Cast, Visit, Visit]:
    """The demo's visit as the phone sent it, and one that nobody has begun."""
    from django.db import transaction

    Installation.objects.get_or_create()
    with transaction.atomic():
        cast = make_cast()
        visit = make_visit(cast.ines, starts=START)
        other = make_visit(cast.ines, "R-2026-0002", START.replace(hour=19))
    said = script.write(
        run="looked at", visit=visit.pk, starts_at=START, zone="America/New_York"
    )
    log.push(
        actor=cast.ines.actor,
        visit_id=visit.pk,
        device=uuid4(),
        client="test",
        now=START,
        mutations=list(numbered(said)),
        received_at=START,
    )
    for photo in list(said.photos())[:PICTURES]:
        store(cast, visit, photo)
    return cast, visit, other


def numbered(said: script.Script) -> Iterator[dict[str, Any]]:
    """What a phone sends: each entry has seen the one before it of its field."""
    last: dict[tuple[str, str], str] = {}
    for seq, one in enumerate(said.mutations(), 1):
        place, id_ = (one.rec, one.field), str(uuid4())
        seen = [last[place]] if place in last else []
        at = one.at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        yield mutation(seq, one.field, one.value, rec=one.rec, id=id_, seen=seen, at=at)
        last[place] = id_


def store(cast: Cast, visit: Visit, photo: Any) -> None:
    actor, now = cast.ines.actor, datetime.now(UTC)
    photo_id = UUID(photo.rec)
    told = uploads.Announced(photo_id, visit.pk, photo.sha256, len(photo.data))
    uploads.create(actor=actor, announced=told, now=now)
    uploads.add(actor=actor, photo_id=photo_id, offset=0, piece=photo.data, now=now)
    renditions.make(actor=actor, photo_id=photo_id)


def addresses(cast: Cast, visit: Visit, other: Visit) -> dict[str, str]:
    """Every kind of page of the walk, on something real."""
    with bound(cast.northside.pk):
        records, _ = folded(cast.ines.actor, visit)

    def first(kind: str, **wanted: Any) -> str:
        return next(
            key
            for key, one in records.items()
            if one["kind"] == kind
            and all(one.get(name) == value for name, value in wanted.items())
        )

    kitchen, service = (
        first("stop", room_use="kitchen"),
        first("stop", stop_kind="service_equipment"),
    )
    panel = first("enclosure", role="service_disconnect")
    odd = first("receptacle")
    return {
        "day": f"/f/northside/day/?day={START:%Y-%m-%d}",
        "start": url("visit-read", other),
        "visit": url("visit-read", visit),
        "leave-visit": url("visit-leave", visit),
        "stop-kitchen": url("stop-read", visit, kitchen),
        "stop-service": url("stop-read", visit, service),
        "leave-stop": url("stop-leave", visit, kitchen),
        "item": url("item-write", visit, service, "service_reading"),
        "by-hand": url("item-write", visit, kitchen, "by_hand"),
        "arrival": url("entry-write", visit, visit.pk),
        "hazard": url("hazard-write", visit, kitchen),
        "limit": url("limit-write", visit, kitchen),
        "panel": url("panel-map", visit, panel),
        "paint": url("space-paint", visit, panel),
        "space": url("space-write", visit, panel, 13),
        "enclosure": url("enclosure-write", visit, panel),
        "walk": url("receptacle-walk", visit, records[odd]["stop"]),
        "receptacle": url("receptacle-write", visit, records[odd]["stop"], odd),
    }


@pytest.mark.parametrize("width", WIDTHS)
def test_the_walks_pages_are_usable(
    live_server: Any, walked: tuple[Cast, Visit, Visit], browser: Browser, width: int
) -> None:
    cast, visit, other = walked
    size = {"width": width, "height": 2000}
    page = page_of(browser, live_server.url, cast.ines, viewport=size)
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(f"script: {error}"))
    for name, path in addresses(cast, visit, other).items():
        response = page.goto(live_server.url + path)
        assert response is not None
        assert response.status == 200, (name, response.status)
        for found in Axe().run(page)["violations"]:
            nodes = [node["html"][:160] for node in found["nodes"][:3]]
            troubles.append(f"{name}: {found['id']}: {nodes}")
        wide = page.evaluate("document.documentElement.scrollWidth")
        if wide > width:
            troubles.append(f"{name}: spills to {wide} px")

    assert not troubles, "\n".join(troubles)
