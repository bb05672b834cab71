"""The library in a browser: nothing for axe to say, remarks while a person types."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import transaction
from msgspec import structs
from playwright.sync_api import Browser, expect

from findings.models import Finding, PassageImport
from findings.services import bringing, library
from findings.services.library import Written
from findings.wording.passages import Variant, by_key
from firm.models import Installation
from tests.browser.test_axe_pages import DESK, PHONE, assert_usable
from tests.support.browser import SETTLED, page_of
from tests.support.cast import Cast, Person, make_cast
from tests.support.reviewed import at
from tests.support.walked import walk

pytestmark = [pytest.mark.browser, pytest.mark.timeout(600)]

RAIL = "house.rail.loose"
THEIRS = b"Section,Subject,Comment,Why\nWiring,Loose box,The box is loose.,\n"
MENDED = (
    b"System,Title,Comment,What it does,Timing,Trade\n"
    b"Roof,Odd tile,A tile is odd.,upkeep,watch,roofer\n"
)


@pytest.fixture
def cast(transactional_db: None) -> Cast:
    Installation.objects.get_or_create()
    with transaction.atomic():
        made = make_cast()
        walked = walk(made)
        walked.decide("use")
        walked.hand_in()
        other = Variant(purposes=("sellers",), action="Ask {trade} before you list it.")
        passage = structs.replace(by_key(RAIL), variants=(other,), matters="Teh fall.")
        first = Written(passage, "as we say it", 0)
        library.write(actor=made.owner.actor, written=first)
        library.approve(actor=made.owner.actor, key=RAIL, number=1)
        again = structs.replace(passage, matters="Someone can fall.")
        library.write(actor=made.ines.actor, written=Written(again, "spelling", 1))
        bringing.bring(actor=made.owner.actor, name="theirs.csv", data=THEIRS)
        bringing.bring(actor=made.owner.actor, name="mended.csv", data=MENDED)
    return made


def brought(cast: Cast, name: str) -> str:
    with cast.inside():
        row = PassageImport.objects.get(name=name)
    return at("import-read", row.pk)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_the_library_is_usable(
    browser: Browser, cast: Cast, live_server: Any, size: Any
) -> None:
    pages: dict[str, tuple[Person, str]] = {
        "passages": (cast.owner, at("passage-list")),
        "passages found": (cast.trainee, at("passage-list") + "?find=rale"),
        "passage": (cast.owner, at("passage-read", RAIL)),
        "passage with blanks": (cast.ines, at("passage-read", "elec.ocpd.over")),
        "passage new": (cast.ines, at("passage-new")),
        "passages brought": (cast.owner, at("passage-bring")),
        "file to mend": (cast.owner, brought(cast, "theirs.csv")),
        "file to take": (cast.reviewer, brought(cast, "mended.csv")),
        "checks": (cast.owner, at("wording-checks")),
        "checks read": (cast.ines, at("wording-checks")),
    }

    assert_usable(browser, live_server.url, pages, size)


def test_remarks_stand_beside_the_words_while_a_reviewer_types(
    browser: Browser, cast: Cast, live_server: Any
) -> None:
    with cast.inside():
        finding = Finding.objects.all()[0]
        before = finding.words.seen if finding.words else ""
    page = page_of(browser, live_server.url, cast.reviewer, viewport=PHONE)
    page.goto(live_server.url + at("finding-read", finding.pk))
    page.wait_for_timeout(SETTLED)

    page.locator("summary", has_text="Change the words").focus()
    page.keyboard.press("Enter")
    field = page.locator("textarea[name=seen]")
    field.fill("Teh panel is a death trap.")
    beside = page.locator("[data-remarks-at=seen]")
    expect(beside).to_contain_text("death trap", timeout=20000)
    expect(beside).to_contain_text("Teh")
    # A remark never touches the words.
    assert field.input_value() == "Teh panel is a death trap."

    field.fill(before)
    expect(beside).not_to_contain_text("death trap", timeout=20000)
    with cast.inside():
        assert Finding.objects.get(pk=finding.pk).words.seen == before  # type: ignore[union-attr]
