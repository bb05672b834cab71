import pytest
from django.db import transaction
from firm.models import Installation
from tests.browser import test_review_by_keys as K
from tests.support.browser import page_of
from tests.support.cast import make_cast
from tests.support.reviewed import handed_in, at, whole, rewrite, by_hand
pytestmark=[pytest.mark.browser, pytest.mark.timeout(600)]
def test_keys(transactional_db, live_server, browser):
    Installation.objects.get_or_create()
    with transaction.atomic():
        cast=make_cast(); w=handed_in(cast)
        for n in range(4): w.finding(f"extra-{n}", stop=w.id("s-kit"))
        rewrite(cast.reviewer, by_hand(w), **whole())
    page=page_of(browser, live_server.url, cast.reviewer, viewport=K.TABLET)
    page.set_default_timeout(45000); page.set_default_navigation_timeout(45000)
    page.on("console", lambda m: print("console", m.text))
    page.on("pageerror", lambda m: print("error", m))
    page.goto(live_server.url+at("review-list"))
    hand=K.Hand(page)
    try:
        hand.press("?"); print("help", page.locator(".keys-help__list").is_visible())
        hand.press("j"); print(page.evaluate("document.activeElement.outerHTML.slice(0,90)"))
        hand.leads_on("Enter"); print(page.url)
        hand.press("j"); print(page.evaluate("document.activeElement.id"))
        K._one_worked_on(hand); print("worked", page.url)
        K._rest_passed(hand, lambda: K.left(cast.reviewer, w.visit)); print("rest")
        K._note_on_the_visit(hand)
    except Exception:
        page.screenshot(path="/tmp/kp/v_shots/keys-fail.png", full_page=True); print(page.url, page.evaluate("document.activeElement.outerHTML.slice(0,200)")); raise
