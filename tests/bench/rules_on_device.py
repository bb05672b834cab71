"""How soon a meaning stands beside a form in Chromium slowed down four times."""

from __future__ import annotations

import json
from pathlib import Path
from statistics import median
from typing import Any

from playwright.sync_api import Page, Route

from findings.rules.loader import ruleset
from findings.rules.package import package
from tests.support.browser import PHONE, chromium

STATIC = Path(__file__).parent.parent.parent / "static"
SLOWER, TURNS, MOST = 4, 40, 100
FORM = """<!doctype html><title>bench</title><form data-live-meaning data-rules="/rules"
data-record="stair" data-day="2026-11-24" data-dates='{"built": [1978, 1978]}'>
<input name="risers_in"><input name="treads_in"><input name="headroom_in">
<div class="reach"></div></form>
<script type="module" src="/static/js/pages/item.js"></script>"""
# The time from the last key to the changed words, as a person has it.
TYPED = """async ([name, value]) => {
  const field = document.querySelector(`[name=${name}]`);
  const place = document.querySelector("[data-live]");
  const begun = performance.now();
  const changed = new Promise((done) => {
    new MutationObserver(() => done(performance.now() - begun))
      .observe(place, { childList: true, characterData: true, subtree: true });
  });
  field.value = value;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  // Words that stay the same would never answer.
  const late = new Promise((done) => setTimeout(() => done(-1), 3000));
  return Promise.race([changed, late]);
}"""


def main() -> None:
    """Print milliseconds from a key to its meaning."""
    with chromium() as browser:
        version = browser.version
        page = browser.new_context(viewport=PHONE).new_page()
        page.route("**/*", _answer)
        slow = page.context.new_cdp_session(page)
        slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.goto("http://device.test/form")
        page.wait_for_selector("[data-live]", state="attached")
        page.wait_for_timeout(1500)
        page.context.set_offline(True)
        page.fill("[name=treads_in]", "9, 9, 9")
        page.wait_for_timeout(500)
        times = [_turn(page, at) for at in range(TURNS)]
    assert min(times) > 0, "a meaning did not change"
    late = sorted(times)[int(len(times) * 0.95)]
    print(
        f"rules on the device, Chromium {version}, {SLOWER} times slower, offline: a"
        f" meaning after {median(times):.0f} ms in the middle of {TURNS} turns,"
        f" {late:.0f} ms at the 95th percentile, {max(times):.0f} ms at most"
    )
    if late > MOST:
        raise SystemExit(f"a meaning took longer than {MOST} ms")


def _turn(page: Page, at: int) -> float:
    riser = f"{7 + at / 100:.2f}, 8.5"
    return float(page.evaluate(TYPED, ["risers_in", riser]))


def _answer(route: Route) -> None:
    path = route.request.url.removeprefix("http://device.test")
    if path == "/rules":
        body: Any = json.dumps(package(ruleset()))
        route.fulfill(body=body, content_type="application/json")
    elif path.startswith("/static/"):
        route.fulfill(path=STATIC / path.removeprefix("/static/"))
    else:
        route.fulfill(body=FORM, content_type="text/html")


if __name__ == "__main__":
    main()
