"""Every screen of the field client: nothing for axe to say, no spill, big targets."""

from __future__ import annotations

from typing import Any

import pytest
from axe_core_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from inspections.models import Visit
from inspections.selectors.folded import folded
from tests.browser.test_field_pages import walked
from tests.support.cast import Cast
from tests.support.field_client import at, client, quiet

pytestmark = [pytest.mark.browser, pytest.mark.timeout(900)]
__all__ = ["walked"]

WIDTHS = (320, 360, 768, 1280)
LEAST = 47.5  # 48 px, less what rounding takes; the main keys have 56
WHOLE = (
    "", "/ready", "/arrival", "/sync", "/conflicts", "/kept", "/copy", "/covered",
    "/door", "/door/change", "/door/paid", "/means", "/passages", "/photos", "/bring",
    "/runners", "/as-left", "/leave", "/talk", "/stops", "/stops/add",
)  # fmt: skip
AT_STOP = ("", "/add", "/leave", "/limit", "/hazard", "/finding", "/receptacles/new",
           "/i/plate", "/i/service_reading", "/i/alarm", "/i/wall", "/i/cladding",
           "/i/service_drop", "/i/this_place")  # fmt: skip
PRESSED = "main button, main a.row, main a.key, footer a, footer button, .shutter"
TOO_SMALL = f"""
() => [...document.querySelectorAll('{PRESSED}')]
  .filter((one) => one.offsetParent && !one.closest('p'))
  .map((one) => [one.innerText.trim().slice(0, 30), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < {LEAST} || box.width < {LEAST})
  .map(([words, {{width, height}}]) => `${{words}} ${{width}}x${{height}}`)
"""
SPILL = """() => {
  const { scrollWidth, clientWidth } = document.documentElement;
  return scrollWidth - clientWidth; }"""


def screens(cast: Cast, visit: Visit, other: Visit) -> list[str]:
    with cast.inside():
        records, _ = folded(cast.ines.actor, visit)

    def first(kind: str, **where: Any) -> str:
        return next(
            rec
            for rec, one in records.items()
            if {"kind": kind, **where}.items() <= one.items()
        )

    base = f"/v/{visit.pk}"
    kitchen = first("stop", room_use="kitchen")
    panel = first("enclosure")
    found = [
        "/",
        "/settings",
        "/room",
        "/sync",
        f"/v/{other.pk}",
        f"/v/{other.pk}/begin",
    ]
    found += [base + path for path in WHOLE]
    found += [f"{base}/s/{kitchen}{path}" for path in AT_STOP]
    for kind in ("arrival", "roof", "service_equipment", "attic"):
        found.append(f"{base}/s/{first('stop', stop_kind=kind)}")
    found += [f"{base}/p/{panel}{path}" for path in ("", "/facts", "/n/1")]
    found += [f"{base}/r/{first('box')}", f"{base}/photo/{first('photo')}"]
    return found


def spill(page: Page) -> int:
    return int(page.evaluate(SPILL))


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_screen_is_for_everybody(
    browser: Browser, live_server: Any, walked: tuple[Cast, Visit, Visit], theme: str
) -> None:
    cast, visit, other = walked
    page = client(browser, live_server.url, cast.ines)
    page.evaluate("(theme) => kingpost.prefer({theme})", theme)
    problems = []
    for path in screens(cast, visit, other):
        at(page, path)
        page.locator("h1").wait_for()
        page.wait_for_timeout(250)
        if page.locator("h1", has_text="Not here").count():
            problems.append(f"{path}: not here")
        for width in WIDTHS if theme == "light" else (360,):
            page.set_viewport_size({"width": width, "height": 800})
            if spill(page) > 0:
                problems.append(f"{path} at {width}: spills by {spill(page)}")
        page.set_viewport_size({"width": 360, "height": 800})
        problems += [f"{path}: small {one}" for one in page.evaluate(TOO_SMALL)]
        for found in Axe().run(page)["violations"]:
            nodes = [node["html"][:120] for node in found["nodes"][:2]]
            problems.append(f"{path}: {found['id']} {nodes}")
    quiet(browser)
    assert not problems, "\n".join(problems)
