from pathlib import Path

import pytest
from django.urls import reverse

from firm.models import Installation
from tests.support.browser import page_of
from tests.support.demo_in_review import demo_in_review

pytestmark=[pytest.mark.browser, pytest.mark.timeout(600)]
def test_shots(transactional_db, live_server, settings, tmp_path, browser):
    Installation.objects.get_or_create()
    visit, lucinda = demo_in_review(live_server.url, settings, tmp_path)
    slug=lucinda.firm.slug
    out=Path("/tmp/kp/v_shots"); out.mkdir(exist_ok=True)
    for w in (768,1280):
        page=page_of(browser, live_server.url, lucinda, viewport={"width":w,"height":1000})
        for name,args in (("review-list",[]),("review-how",[]),("review-read",[visit.pk])):
            page.goto(live_server.url+reverse(name,args=[slug,*args])); page.wait_for_timeout(500)
            page.screenshot(path=str(out/f"{name}-{w}.png"))
        page.locator(".keys-help summary").first.click(); page.wait_for_timeout(200)
        page.screenshot(path=str(out/f"review-keys-{w}.png"))
        page.locator(".review-finding").nth(3).scroll_into_view_if_needed(); page.wait_for_timeout(300)
        page.screenshot(path=str(out/f"review-mid-{w}.png"))
        page.locator("#ledger").scroll_into_view_if_needed(); page.wait_for_timeout(100)
        page.screenshot(path=str(out/f"review-ledger-{w}.png"))
        page.locator("#loose").scroll_into_view_if_needed(); page.wait_for_timeout(300)
        page.screenshot(path=str(out/f"review-loose-{w}.png"))
        page.locator(".review-finding a[data-key=o]").first.click(); page.wait_for_timeout(700)
        page.screenshot(path=str(out/f"finding-{w}.png"), full_page=True)
        page.context.close()
