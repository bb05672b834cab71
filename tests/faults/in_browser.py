"""The fourth layer: the field client in Chromium, killed in the middle of its work.

    python -m tests.faults.in_browser --kills 60

A real browser on a profile that stays writes entries and pictures, sends them over
requests that break, and is killed with SIGKILL; so is the server. What the client had
said to be saved is then looked for on the server. Prints the figure last.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import time
from collections import Counter
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import django

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "firm.settings_test")
    os.environ["KINGPOST_TEST_DB"] = f"faults{os.getpid()}"
    django.setup()

from playwright.sync_api import (
    Browser,
    Page,
    Playwright,
    Route,
    sync_playwright,
)
from playwright.sync_api import Error as BrowserError

from firm.tenancy import bound
from inspections.models import PhotoFile
from inspections.selectors.folded import folded
from tests.faults.chromium import chromium_on, kill
from tests.faults.world import (
    Database,
    Killer,
    Server,
    World,
    make_world,
    rows_of,
    scratch,
)

RECORDS = 12
SETTLE_WITHIN = 180
# Enters until it is killed; each is told only when the client said that it is saved.
ENTERS = """async ({ visit, records, seed }) => {
  const { keepPicture } = await import("/static/js/field/core/photos.js");
  const { sha256Hex } = await import("/static/js/field/core/net.js");
  const open = await kingpost.visit(visit);
  let n = seed;
  const chance = () => (n = (n * 48271) % 2147483647) / 2147483647;
  const head = [0xff, 0xd8, 0xff, 0xdb, 0, 67, 0];
  // A real picture, larger than a working copy; what follows its end makes it its own.
  const canvas = new OffscreenCanvas(2700, 1500);
  const pen = canvas.getContext("2d");
  for (let row = 0; row < 300; row += 1) {
    const [hue, light] = [360, 90].map((most) => Math.floor(chance() * most));
    pen.fillStyle = `hsl(${hue} 60% ${light}%)`;
    pen.fillRect(chance() * 2400, chance() * 1300, 300, 200);
  }
  const big = await canvas.convertToBlob({ type: "image/jpeg", quality: 0.95 });
  for (let at = 0; ; at += 1) {
    const rec = records[Math.floor(chance() * records.length)];
    if (at % 6 === 5) {
      const any = () => Math.floor(chance() * 256);
      const body = Uint8Array.from({ length: at % 12 === 5 ? 30000 : 40 }, any);
      const first = at % 12 === 5 ? Uint8Array.from(head) : big;
      const file = new File([first, body], "p.jpg", { type: "image/jpeg" });
      const photo = await keepPicture(kingpost, open, file, { stop: null });
      const digest = await sha256Hex(await file.arrayBuffer());
      await told(JSON.stringify(["photo", photo, digest]));
    } else {
      const kind = open.rec(rec) ? {} : { kind: "note" };
      const text = `${seed} ${at}`;
      const made = await open.set(rec, { ...kind, text });
      for (const one of made) await told(JSON.stringify(["entry", one.id, one.value]));
    }
    if (chance() < 0.1) kingpost.syncer.now();
  }
}"""
SETTLED = """async (visit) => {
  const open = await kingpost.visit(visit);
  // Killed each time before the day was fetched: fetch it now.
  if (!open) return kingpost.refresh().then(() => false);
  await kingpost.syncer.now();
  return Boolean(open.seal?.whole) && !open.outbox.waiting().length;
}"""


@dataclass
class Figures:
    """What was said to be saved, what broke, and what of it is not on the server."""

    entries: dict[str, Any] = field(default_factory=dict)
    photos: dict[str, str] = field(default_factory=dict)
    broken: Counter[str] = field(default_factory=Counter)
    lost: int = 0
    doubled: int = 0
    wrong: int = 0
    copies: int = 0  # pictures whose working copy took their place

    @property
    def clean(self) -> bool:
        return not (self.lost or self.doubled or self.wrong)

    def heard(self, text: str) -> None:
        what, key, value = json.loads(text)
        if what == "photo":
            self.photos[key] = value
        else:
            self.entries[key] = value


def run(seed: int, kills: int, server_every: float = 4.0) -> Figures:
    """Kill the browser so many times, then let it settle and judge."""
    folder, chance, figures = scratch(), random.Random(seed), Figures()
    with Database() as database:
        server = Server(database, folder)
        world = make_world(RECORDS)
        server.start()
        killer = Killer(server, seed, server_every)
        killer.start()
        try:
            with sync_playwright() as hand:
                for _ in range(kills):
                    _until_killed(hand, folder, server, world, chance, figures)
                killer.stop()
                _settle(hand, folder, server, world)
        finally:
            killer.stop()
            server.kill()
        figures.broken["server_killed"] = server.kills
        _judge(world, figures, folder)
    shutil.rmtree(folder, ignore_errors=True)
    return figures


def _opened(browser: Browser, server: Server, world: World) -> Page:
    context = browser.contexts[0]
    name, value = world.cookie.split("=", 1)
    context.add_cookies([{"name": name, "value": value, "url": server.base}])
    page = context.new_page()
    page.goto(f"{server.base}/field/")
    page.wait_for_function("() => globalThis.kingpost")
    return page


def _fetched(page: Page, world: World) -> None:
    """Wait until the visit is on the phone, or for half a minute."""
    held = "async (visit) => Boolean(await kingpost.visit(visit))"
    until = time.monotonic() + 30
    # Not wait_for_function: it takes the promise itself for a yes.
    while not page.evaluate(held, str(world.visit.pk)) and time.monotonic() < until:
        page.wait_for_timeout(200)


def _until_killed(
    hand: Playwright,
    folder: Path,
    server: Server,
    world: World,
    chance: random.Random,
    figures: Figures,
) -> None:
    with chromium_on(folder / "profile", hand) as (process, browser):
        try:
            page = _opened(browser, server, world)
            _fetched(page, world)
            page.expose_function("told", figures.heard)
            page.route("**/api/**", lambda route: _sometimes(route, chance, figures))
            given = {
                "visit": str(world.visit.pk),
                "records": list(world.records),
                "seed": chance.randrange(1, 10**6),
            }
            page.evaluate(
                f"(given) => {{ ({ENTERS})(given).catch(() => {{}}); }}", given
            )
            until = time.monotonic() + 1 + chance.random() * 3
            while time.monotonic() < until:
                page.wait_for_timeout(50)
        except BrowserError:
            figures.broken["opened_in_vain"] += 1  # the server was down just then
        kill(process)
        figures.broken["browser_killed"] += 1


def _sometimes(route: Route, chance: random.Random, figures: Figures) -> None:
    drawn = chance.random()
    with suppress(BrowserError):
        if drawn < 0.08:
            figures.broken["request_lost"] += 1
            route.abort("connectionreset")
        elif drawn < 0.14:
            figures.broken["captive"] += 1
            route.fulfill(status=200, content_type="text/html", body="<p>Welcome</p>")
        elif drawn < 0.2:
            figures.broken["bad_gateway"] += 1
            route.fulfill(status=502, body="")
        elif drawn < 0.26:
            figures.broken["answer_lost"] += 1
            route.fetch()
            route.abort("connectionreset")
        else:
            route.continue_()


def _settle(hand: Playwright, folder: Path, server: Server, world: World) -> None:
    with chromium_on(folder / "profile", hand) as (_, browser):
        page = _opened(browser, server, world)
        until = time.monotonic() + SETTLE_WITHIN
        while not page.evaluate(SETTLED, str(world.visit.pk)):
            if time.monotonic() > until:
                raise RuntimeError("it never settled")
            page.wait_for_timeout(500)


def _judge(world: World, figures: Figures, folder: Path) -> None:
    rows = rows_of(world)
    ids = Counter(row["id"] for row in rows)
    values = {row["id"]: row["value"] for row in rows}
    figures.lost = sum(1 for one in figures.entries if one not in ids)
    figures.doubled = sum(n - 1 for n in ids.values())
    # An entry never offered may have taken a later value in its place; none is older.
    figures.wrong = sum(
        1
        for one, value in figures.entries.items()
        if one in values and _older(values[one], value)
    )
    os.environ["FIRM_VAR_DIR"] = str(folder)
    with bound(world.cast.northside.pk):
        stored = {
            str(one.pk): one.sha256 for one in PhotoFile.objects.filter(state="STORED")
        }
        records = folded(world.cast.ines.actor, world.visit)[0]
    told = {photo: _told(records.get(photo, {})) for photo in figures.photos}
    figures.wrong += sum(
        1
        for photo, sha256 in figures.photos.items()
        if (stored.get(photo), sha256) != told[photo]
    )
    figures.copies = sum(one != other for one, other in told.values())


def _told(record: Mapping[str, Any]) -> tuple[Any, Any]:
    """Return the digests of what was sent of a picture and of what the camera gave."""
    sent = record.get("sha256")
    return sent, record.get("original_sha256") or sent


def _older(held: Any, said: Any) -> bool:
    if not isinstance(held, str) or " " not in str(said):
        return bool(held != said)
    (seed, at), (before, told) = str(held).split(), str(said).split()
    return seed == before and int(at) < int(told)


def main() -> int:
    reader = argparse.ArgumentParser(prog="python -m tests.faults.in_browser")
    reader.add_argument(
        "--seed", type=int, default=random.SystemRandom().randrange(10**6)
    )
    reader.add_argument("--kills", type=int, default=60)
    asked = reader.parse_args()
    if not asked.kills:
        return 0
    begun = time.monotonic()
    print(f"seed {asked.seed}, Chromium")
    figures = run(asked.seed, asked.kills)
    print(f"faults: {json.dumps(dict(sorted(figures.broken.items())))}")
    print(
        f"seed {asked.seed}, in the browser: {len(figures.entries)} entries and"
        f" {len(figures.photos)} photos ({figures.copies} as working copies) said to"
        f" be saved,"
        f" {figures.broken.total()} faults in {time.monotonic() - begun:.0f} s;"
        f" {figures.lost} lost, {figures.doubled} doubled, {figures.wrong} wrong"
    )
    return 0 if figures.clean else 1


if __name__ == "__main__":
    raise SystemExit(main())
