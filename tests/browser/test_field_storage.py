"""The device's storage in Chromium: killed while writing, what was saved is there."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route, sync_playwright

from tests.faults.chromium import chromium_on, kill

pytestmark = [pytest.mark.browser, pytest.mark.timeout(300)]

STATIC = Path(__file__).resolve().parents[2] / "static"
HOST = "http://localhost:9"
PAGE = """<!doctype html><title>storage</title><script type="module">
import { Database } from "/static/js/field/db.js";
import { newId } from "/static/js/field/ids.js";
import { Outbox } from "/static/js/field/outbox.js";
const open = () => new Outbox({
  store: new Database(), visit: "v", user: "u", newId, now: () => "t",
}).open();
window.field = { Database, newId, open };
window.ready = true;
</script>"""
# Writes until it is killed; each entry is told only once the outbox said it is saved.
WRITES = """async () => {
  const outbox = await field.open();
  for (let n = 0; n < 100000; n += 1) {
    const rec = field.newId();
    const bytes = new Uint8Array(20000).fill(n % 251).buffer;
    const also = [["bytes", ["v", rec], bytes]];
    const [entry] = await outbox.change(rec, { kind: "photo", size: n }, also);
    await told(JSON.stringify([rec, entry.id, n % 251]));
  }
}"""
READS = """async (saved) => {
  const outbox = await field.open();
  const store = outbox.store;
  const wrong = [];
  for (const [rec, id, fill] of saved) {
    const bytes = await store.tx(false, (tx) => tx.get("bytes", ["v", rec]));
    const whole = bytes?.byteLength === 20000
      && new Uint8Array(bytes).every((b) => b === fill);
    if (!outbox.own.has(id) || !whole) wrong.push(rec);
  }
  const seqs = [...outbox.own.values()].map((row) => row.seq).sort((a, b) => a - b);
  const torn = await store.tx(false, async (tx) =>
    (await tx.all("bytes", ["v"])).length * 2 === outbox.own.size);
  const holes = seqs.some((seq, at) => seq !== at + 1);
  return { wrong, torn: !torn, holes, rows: seqs.length };
}"""


def _answer(route: Route) -> None:
    path = route.request.url.removeprefix(HOST)
    if path.startswith("/static/"):
        route.fulfill(path=STATIC / path.removeprefix("/static/"))
    else:
        route.fulfill(content_type="text/html", body=PAGE)


def _page(browser: Browser) -> Page:
    context = browser.contexts[0] if browser.contexts else browser.new_context()
    page = context.new_page()
    page.route("**/*", _answer)
    page.goto(f"{HOST}/")
    page.wait_for_function("window.ready")
    return page


def test_what_was_said_to_be_saved_survives_a_killed_browser(tmp_path: Path) -> None:
    chance = random.Random(20261125)
    saved: list[Any] = []

    def told(text: str) -> None:
        saved.append(text)

    with sync_playwright() as hand:
        for _ in range(3):
            with chromium_on(tmp_path, hand) as (process, browser):
                page = _page(browser)
                page.expose_function("told", told)
                page.evaluate(f"void ({WRITES})()")
                page.wait_for_timeout(400 + chance.random() * 900)
                kill(process)
        with chromium_on(tmp_path, hand) as (_, browser):
            page = _page(browser)
            found = page.evaluate(READS, [json.loads(text) for text in saved])

    assert len(saved) > 30
    assert found["wrong"] == []
    assert not found["torn"]
    assert not found["holes"]
    assert found["rows"] >= len(saved) * 2
