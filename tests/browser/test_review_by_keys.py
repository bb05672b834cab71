"""The demo's visit reviewed with the keyboard alone, every key counted."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Browser, Page

from findings.models import Finding, ReviewNote, ReviewSitting, SubstanceChange
from firm.models import Installation
from firm.tenancy import bound
from inspections.models import Visit
from tests.support.browser import SETTLED, page_of
from tests.support.cast import Person
from tests.support.demo_in_review import demo_in_review

pytestmark = [pytest.mark.browser, pytest.mark.timeout(900)]

TABLET: Any = {"width": 768, "height": 1024}
# One key or one word typed, for somebody who does this every day.
KEY_S, WORD_S = 0.3, 0.5
# Looking once at a finding's sentence and picture; a grave one is read word by word.
GLANCE_S, READ_S = 3.0, 7.0
TARGET_S = 360
GRAVE = ("could_hurt", "harming_building")
DONE = [Finding.State.WORDS_CHECKED, Finding.State.SIGNED]


class Hand:
    """Two hands on a keyboard: no mouse, no touch; counts what they press."""

    def __init__(self, page: Page) -> None:
        self.page, self.keys, self.words = page, 0, 0

    def press(self, key: str) -> None:
        self.page.wait_for_timeout(SETTLED)
        self.page.keyboard.press(key)
        self.keys += 1

    def leads_on(self, key: str) -> None:
        """Press a key that leads to another page."""
        self.page.wait_for_timeout(SETTLED)
        with self.page.expect_navigation():
            self.page.keyboard.press(key)
        self.keys += 1

    def type(self, words: str) -> None:
        self.page.keyboard.type(words)
        self.words += len(words.split())


def left(lucinda: Person, visit: Visit) -> int:
    with bound(lucinda.firm.pk):
        rows = Finding.objects.filter(visit=visit).exclude(
            state=Finding.State.WITHDRAWN
        )
        return rows.exclude(state__in=DONE).count()


def test_a_whole_visit_is_reviewed_by_keys(
    transactional_db: None,
    live_server: Any,
    settings: Any,
    tmp_path: Path,
    browser: Browser,
) -> None:
    Installation.objects.get_or_create()
    visit, lucinda = demo_in_review(live_server.url, settings, tmp_path)
    page = page_of(browser, live_server.url, lucinda, viewport=TABLET)
    page.set_default_navigation_timeout(60_000)
    page.goto(live_server.url + reverse("review-list", args=[lucinda.firm.slug]))
    hand = Hand(page)
    findings = left(lucinda, visit)

    hand.press("?")
    assert page.locator(".keys-help__list").is_visible()
    hand.press("j")
    hand.leads_on("Enter")
    assert page.url.endswith("/review/")
    hand.press("j")
    _one_worked_on(hand)
    _rest_passed(hand, lambda: left(lucinda, visit))
    _note_on_the_visit(hand)

    assert page.get_by_text("Not yet, because").is_visible()
    grave = _as_left(lucinda, visit)
    seconds = (
        hand.keys * KEY_S
        + hand.words * WORD_S
        + grave * READ_S
        + (findings - grave) * GLANCE_S
    )
    print(  # noqa: T201  # the figure of the docs
        f"\n{findings} findings, {grave} of them grave: {hand.keys} keys, "
        f"{hand.words} words typed, some {seconds / 60:.1f} minutes"
    )
    assert seconds <= TARGET_S
    page.context.close()


def _as_left(lucinda: Person, visit: Visit) -> int:
    """Check what the keys left behind; return how many findings are grave."""
    with bound(lucinda.firm.pk):
        change = SubstanceChange.objects.get(finding__visit=visit)
        note = ReviewNote.objects.get(visit=visit, about="visit")
        assert (change.answer, change.reason) == ("WAITING", "it is at child height")
        assert note.text == "Please look at the gutters once more."
        assert ReviewSitting.objects.filter(visit=visit).exists()
        return Finding.objects.filter(visit=visit, consequence__in=GRAVE).count()


def _one_worked_on(hand: Hand) -> None:
    """Change a finding's words, ask for another timing, come back."""
    page = hand.page
    hand.leads_on("o")
    hand.press("e")
    assert page.evaluate("document.activeElement.name") == "seen"
    hand.press("Control+End")
    hand.type(" It was looked at twice.")
    hand.leads_on("Control+Enter")
    assert page.locator("ins").get_by_text("looked at twice").first.is_visible()
    hand.press("s")
    assert page.evaluate("document.activeElement.name") == "consequence"
    hand.press("Tab")
    hand.type("Before")
    for _ in range(3):
        hand.press("Tab")
        if page.evaluate("document.activeElement.name") == "withdrawn":
            break
    hand.press("Tab")
    hand.type("it is at child height")
    hand.leads_on("Control+Enter")
    hand.leads_on("u")


def _rest_passed(hand: Hand, still: Callable[[], int]) -> None:
    """Pass what is ready, one key each; the one that was asked about waits."""
    hand.press("j")
    before = still()
    while before > 1:
        hand.leads_on("c")
        now = still()
        assert now == before - 1, f"{now} left after {before}"
        before = now


def _note_on_the_visit(hand: Hand) -> None:
    hand.press("n")
    if hand.page.evaluate("document.activeElement.name") != "text":
        hand.press("n")
    assert hand.page.evaluate("document.activeElement.name") == "text"
    hand.type("Please look at the gutters once more.")
    hand.leads_on("Control+Enter")
