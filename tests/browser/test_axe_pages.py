"""Every page of the office and the readers in a browser: nothing for axe to say."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import timedelta
from functools import partial
from typing import Any
from uuid import UUID

import pytest
from axe_core_python.sync_playwright import Axe
from django.core import mail
from django.db import transaction
from django.template.loader import render_to_string
from playwright.sync_api import Browser, Page, Response, Route

from findings.models import ReviewNote
from findings.services import turns
from firm.errors import Refusal
from firm.models import Installation
from inspections.models import Contact, Party, Visit
from inspections.services import agreements
from reports.models import Release
from reports.services import releases, share_links, urgent
from tests.access.world import released_walk
from tests.support.browser import page_of, tap
from tests.support.cast import Cast, Person, make_cast
from tests.support.reviewed import at, by_rule, handed_in
from tests.support.visits import STARTS, make_visit
from tests.support.walked import NOW, Walk, walk

pytestmark = [pytest.mark.browser, pytest.mark.timeout(600)]

PHONE, DESK = {"width": 360, "height": 2000}, {"width": 1280, "height": 1200}
NARROWEST = 320
REFUSED = {"not found", "report, closed", "link, gone", "link, closed", "not your role"}
# Pages that only a fault or a refusal shows; the browser is handed them as they are.
FAULTS = ("500.html", "403_csrf.html", "firm/refused.html")


@dataclass
class Firm:
    """Northside with a visit in each state that a page shows."""

    cast: Cast
    address: str
    paths: dict[str, tuple[Person | None, str]] = field(default_factory=dict)
    share: str = ""
    closed: str = ""


@pytest.fixture
def firm(transactional_db: None, live_server: Any) -> Firm:
    Installation.objects.get_or_create()
    with transaction.atomic():
        made = Firm(make_cast(), live_server.url)
        released_pages(made)
        review_pages(made)
        booking_pages(made)
    letters = "".join(str(letter.body) for letter in mail.outbox)
    agreement = re.search(r"/s/\S+", letters)
    assert agreement
    made.paths |= {
        "sign-in": (None, "/sign-in/"),
        "home": (made.cast.owner, "/"),
        "verify": (None, "/verify"),
        "verify, not known": (None, f"/verify?sha256={'0' * 64}"),
        "not found": (made.cast.ines, at("my-day") + "nowhere/"),
        "agreement": (None, agreement.group(0)),
        "report, closed": (None, "/r/report/"),
        "link, gone": (None, "/r/" + "x" * 43),
        "link, closed": (None, made.closed),
        "pictures": (made.cast.owner, at("firm-photos")),
        "not your role": (made.cast.ines, at("booking-new")),
    }
    return made


def under_way(made: Firm) -> Visit:
    """A release that waits for a worker."""
    walked = walk(made.cast, number="R-2026-0005", starts=STARTS + timedelta(days=4))
    walked.clients("Ada Buyer")
    walked.decide("use")
    walked.finish()
    releases.release(actor=made.cast.reviewer.actor, visit=walked.visit, now=NOW)
    return walked.visit


def released_pages(made: Firm) -> None:
    cast, visit = made.cast, released_walk(made.cast).visit
    _, token = share_links.show_link(
        actor=cast.scheduler.actor,
        visit=visit,
        party=visit.parties.get(part="CLIENT"),
        now=NOW,
    )
    made.share = f"/r/{token}"
    agent = visit.parties.get(part="CLIENT")
    link, token = share_links.show_link(
        actor=cast.scheduler.actor,
        visit=visit,
        party=agent,
        now=NOW,
    )
    share_links.revoke(actor=cast.scheduler.actor, link=link, now=NOW)
    made.closed = f"/r/{token}"
    release = Release.objects.get()
    made.paths |= {
        "questions": (cast.reviewer, at("question-list", visit)),
        "papers": (cast.scheduler, at("paper-list", visit)),
        "complaints": (cast.owner, at("complaint-list", visit)),
        "releases": (cast.reviewer, at("release-list")),
        "release": (cast.reviewer, at("release-read", visit)),
        "release, its office": (cast.scheduler, at("release-read", visit)),
        "released report": (cast.owner, at("release-web", release)),
        "released gallery": (cast.owner, at("release-gallery", release)),
        "booking, signed": (cast.scheduler, at("booking-read", visit)),
    }


def review_pages(made: Firm) -> None:
    cast = made.cast
    waits = handed_in(cast, number="R-2026-0002", starts=STARTS + timedelta(days=1))
    read = handed_in(cast, number="R-2026-0003", starts=STARTS + timedelta(days=2))
    read.check_words()
    for about in ("visit", f"finding:{by_rule(waits).pk}"):
        ReviewNote.objects.create(
            firm=cast.northside,
            visit=waits.visit,
            about=about,
            text="Is the photo sharp enough to read the number?",
            author=cast.reviewer.member,
        )
    made.paths |= {
        "reviews": (cast.reviewer, at("review-list")),
        "review": (cast.reviewer, at("review-read", waits.visit)),
        "finding": (cast.reviewer, at("finding-read", by_rule(waits))),
        "finding, its author": (cast.ines, at("finding-read", by_rule(waits))),
        "sign": (cast.ines, at("visit-sign", read.visit)),
        "sign, stand-in": (cast.reviewer, at("visit-stand-in", read.visit)),
        **office_pages(made, waits),
        "release, under way": (cast.reviewer, at("release-read", under_way(made))),
        "release, refused": (cast.reviewer, at("release-read", waits.visit)),
        "booking, unsent": (cast.scheduler, at("booking-read", waits.visit)),
    }


def office_pages(made: Firm, waits: Walk) -> dict[str, tuple[Person | None, str]]:
    """How the firm reviews, with somebody away; an urgent notice and its correction."""
    cast = made.cast
    away = turns.Away(
        away=cast.reviewer.member,
        by=cast.owner.member,
        first_day=NOW.date(),
        last_day=NOW.date() + timedelta(days=900),
        because="at a course",
    )
    turns.cover(actor=cast.owner.actor, away=away, now=NOW)
    hurts = {"kind": "hazard", "stop": "s-svc", "what": "A live wire.", "told": "Dana"}
    waits.record(hazard=hurts, later=hurts)
    waits.picture("shock", stop="s-svc", about="hazard", use="shows_it")
    notice = urgent.freeze(
        actor=cast.ines.actor,
        visit=waits.visit,
        record=UUID(waits.id("hazard")),
        now=NOW,
    )
    about = f"?about=photo:{waits.id('shock')}"
    return {
        "how we review": (cast.owner, at("review-how")),
        "review, note on a picture": (
            cast.reviewer,
            at("review-read", waits.visit) + about,
        ),
        "urgent notices": (cast.ines, at("urgent-list", waits.visit)),
        "urgent notice": (cast.reviewer, at("urgent-read", notice)),
    }


def booking_pages(made: Firm) -> None:
    cast = made.cast
    visit = make_visit(cast.ines, "R-2026-0004", STARTS + timedelta(days=3))
    ask_client(made, visit)
    made.paths |= {
        "bookings": (cast.scheduler, at("booking-list")),
        "booking, new": (cast.scheduler, at("booking-new")),
        "booking, sent": (cast.scheduler, at("booking-read", visit)),
    }


def ask_client(made: Firm, visit: Visit) -> None:
    house = made.cast.northside
    person = Contact.objects.create(
        firm=house, name="Ada Buyer", email="ada@example.net"
    )
    Party.objects.create(firm=house, visit=visit, contact=person, part=Party.As.CLIENT)
    agreements.send_out(
        actor=made.cast.scheduler.actor,
        visit=visit,
        text="What we agreed.",
        address=made.address,
        now=NOW,
    )


def listened(page: Page, name: str, troubles: list[str]) -> None:
    """Hear what scripts and the content policy have to say."""

    def heard(message: Any) -> None:
        # A page that is refused says so in its status too.
        if message.type == "error" and "status of 4" not in message.text:
            troubles.append(f"{name}: console: {message.text}")

    page.on("console", heard)
    page.on("pageerror", lambda error: troubles.append(f"{name}: script: {error}"))


def looked_at(page: Page, name: str, size: Any, troubles: list[str]) -> None:
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        for found in Axe().run(page)["violations"]:
            nodes = [node["html"][:160] for node in found["nodes"][:3]]
            troubles.append(f"{name}, {size['width']}, {scheme}: {found['id']} {nodes}")
    if size is PHONE:
        page.set_viewport_size({"width": NARROWEST, "height": 800})
        wide = page.evaluate("document.documentElement.scrollWidth")
        if wide > NARROWEST:
            troubles.append(f"{name}: spills to {wide} px at {NARROWEST} px")


def assert_usable(
    browser: Browser, address: str, pages: dict[str, tuple[Person, str]], size: Any
) -> None:
    """Open each page with all that is folded unfolded, and let axe look at it."""
    troubles: list[str] = []
    for name, (who, path) in pages.items():
        page = page_of(browser, address, who, viewport=size, reduced_motion="reduce")
        listened(page, name, troubles)
        got = page.goto(address + path)
        if got is None or got.status != 200:
            troubles.append(f"{name}: {got and got.status}")
        page.evaluate(
            "document.querySelectorAll('details').forEach((one) => { one.open = true })"
        )
        looked_at(page, name, size, troubles)
        page.context.close()

    assert not troubles, "\n".join(troubles)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_the_offices_and_readers_pages_are_usable(
    browser: Browser, firm: Firm, size: Any
) -> None:
    troubles: list[str] = []

    for name, (who, path) in firm.paths.items():
        page = page_of(
            browser, firm.address, who, viewport=size, reduced_motion="reduce"
        )
        listened(page, name, troubles)
        answered(page.goto(firm.address + path), name, troubles)
        looked_at(page, name, size, troubles)
        page.context.close()
    as_the_client_opens_it(browser, firm, size, troubles)
    when_something_breaks(browser, firm, size, troubles)

    assert not troubles, "\n".join(troubles)


def answered(got: Response | None, name: str, troubles: list[str]) -> None:
    refused = name in REFUSED
    if got is None or (got.status == 200) is refused:
        troubles.append(f"{name}: {got and got.status}")


READERS = tuple(
    f"/r/report/{name}" for name in ("", "gallery", "people", "list", "questions")
)


def as_the_client_opens_it(
    browser: Browser, firm: Firm, size: Any, troubles: list[str]
) -> None:
    page = page_of(browser, firm.address, None, viewport=size, reduced_motion="reduce")
    listened(page, "share link", troubles)
    page.goto(firm.address + firm.share)
    looked_at(page, "share link", size, troubles)
    tap(page.get_by_role("button", name="Open"))
    page.get_by_text("12 Sawmill Row").first.wait_for()
    for name in READERS:
        page.set_viewport_size(size)
        page.goto(firm.address + name)
        looked_at(page, name, size, troubles)
    page.context.close()


def when_something_breaks(
    browser: Browser, firm: Firm, size: Any, troubles: list[str]
) -> None:
    page = page_of(browser, firm.address, None, viewport=size, reduced_motion="reduce")
    refusal = Refusal("The line is busy.", details=["Wait a minute.", "Send it again."])
    for name in FAULTS:
        body = render_to_string(name, {"refusal": refusal})
        page.route("**/broken", partial(handed, body))
        listened(page, name, troubles)
        page.set_viewport_size(size)
        page.goto(firm.address + "/broken")
        page.get_by_role("heading", level=1).wait_for()
        looked_at(page, name, size, troubles)
        page.unroute("**/broken")
    page.context.close()


def handed(body: str, route: Route) -> None:
    route.fulfill(body=body, content_type="text/html; charset=utf-8")
