"""README's picture tour, taken from a walk of the demo: python -m tests.browser.tour.

Run it beside the embedded servers: python -m firm.embedded run python -m …
"""

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import django
from PIL import Image

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "firm.settings")  # noqa: TID251
    django.setup()

from playwright.sync_api import Browser, sync_playwright

from reports.demo import performance, stage
from reports.demo.walk.pace import Pace
from reports.demo.walk.party import Party
from reports.demo.walk.visitor import Visitor
from reports.demo.walk.walking import walk

FOLDER = Path(__file__).resolve().parents[2] / "static" / "img" / "tour"
MOST_BYTES = 250_000
PHONE, DESK = (360, 740), (1280, 820)
QUALITIES = (86, 78, 68, 55)


@dataclass(frozen=True)
class Shot:
    """One picture: whose page, where, how wide, and what it begins with."""

    name: str
    who: Callable[[Party], Visitor]
    path: Callable[[Party], str]
    size: tuple[int, int]
    begin: str = ""
    dark: bool = False


@dataclass
class Tourist(Pace):
    """Walks as the walkthrough does, and takes pictures after certain steps."""

    party: Party
    browser: Browser

    def step(self, name: str, act: Callable[[], str]) -> None:
        super().step(name, act)
        for shot in SHOTS.get(name, ()):
            take(self.browser, self.party, shot)
            self.note(f"picture: {shot.name}")


def take(browser: Browser, party: Party, shot: Shot) -> None:
    visitor = shot.who(party)
    with page_of(browser, visitor, shot) as page:
        path = shot.path(party)
        if path.startswith("/field/"):
            # The client opens from what lies on the phone: the day is fetched first.
            page.goto(f"{party.address}/field/")
            page.locator(".rows .row").first.wait_for()
        page.goto(party.address + path, wait_until="networkidle")
        if path.endswith("/ready"):
            page.locator(".checks li").first.wait_for()
        if shot.begin:
            page.evaluate(
                "selector => document.querySelector(selector)"
                ".scrollIntoView({block: 'start'})",
                shot.begin,
            )
            page.wait_for_timeout(300)
        keep(shot.name, page.screenshot())


@contextmanager
def page_of(browser: Browser, visitor: Visitor, shot: Shot) -> Iterator[Any]:
    width, height = shot.size
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if shot.dark else "light",
        reduced_motion="reduce",
        device_scale_factor=1.5 if shot.size == PHONE else 1,
    )
    context.add_cookies(
        [
            {"name": held.name, "value": held.value or "", "url": visitor.address}
            for held in visitor.http.cookies.jar
        ]
    )
    try:
        yield context.new_page()
    finally:
        context.close()


def keep(name: str, picture: bytes) -> None:
    """Keep a picture as a PNG, or as the best JPEG that is small enough."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for old in FOLDER.glob(f"{name}.*"):
        old.unlink()
    image = Image.open(BytesIO(picture)).convert("RGB")
    held = BytesIO()
    image.save(held, "PNG", optimize=True)
    if held.tell() <= MOST_BYTES:
        (FOLDER / f"{name}.png").write_bytes(held.getvalue())
        return
    for quality in QUALITIES:
        held = BytesIO()
        image.save(held, "JPEG", quality=quality, optimize=True)
        if held.tell() <= MOST_BYTES:
            break
    (FOLDER / f"{name}.jpg").write_bytes(held.getvalue())


def keep_pages(pdf: Path) -> None:
    """Keep the cover, the first page of the summary and a drawn panel."""
    for name, words in (("pdf-cover", ""), ("pdf-panel", "Panels, drawn")):
        number = 1 if not words else page_that_begins(pdf, words)
        command = ["pdftoppm", "-r", "80", "-png", "-f", str(number), "-l", str(number)]
        made = subprocess.run([*command, str(pdf)], capture_output=True, check=True)
        keep(name, made.stdout)


def page_that_begins(pdf: Path, words: str) -> int:
    text = subprocess.run(
        ["pdftotext", "-layout", str(pdf), "-"], capture_output=True, check=True
    ).stdout.decode()
    for number, page in enumerate(text.split("\f"), 1):
        lines = [line.strip() for line in page.splitlines() if line.strip()]
        if words in lines[1:3]:
            return number
    raise SystemExit(f"No page of {pdf} begins with “{words}”.")


def member(key: str) -> Callable[[Party], Visitor]:
    return lambda party: party.member(key)


def outsider(key: str) -> Callable[[Party], Visitor]:
    return lambda party: party.outsider(key)


def of_visit(path: str) -> Callable[[Party], str]:
    return lambda party: party.visit_path(path)


def at(path: str) -> Callable[[Party], str]:
    return lambda _party: path


def of_finding(says: str) -> Callable[[Party], str]:
    return lambda party: party.finding_path(says)


def of_record(folder: str, label: str, then: str = "") -> Callable[[Party], str]:
    return lambda party: party.visit_path(
        f"walk/{folder}/{party.written().ids[label]}/{then}"
    )


def of_firm(path: str) -> Callable[[Party], str]:
    return lambda party: party.firm_path(path)


def on_phone(
    label: str = "", then: str = "", folder: str = "s"
) -> Callable[[Party], str]:
    """Return a screen of the field client, by the label of its stop or panel."""
    return lambda party: (
        f"/field/v/{party.visit}/"
        + (f"{folder}/{party.written().ids[label]}" if label else "")
        + then
    )


def of_rule(rule: str) -> Callable[[Party], str]:
    return of_firm(f"rules/{rule}/")


def of_day(party: Party) -> str:
    on = party.starts.astimezone(ZoneInfo("America/New_York")) if party.starts else ""
    return party.firm_path(f"day/?day={on:%Y-%m-%d}")


INES, DANA, LUCINDA = member("ines"), outsider("dana"), member("lucinda")
PANEL = "section.panel"
SHOTS: dict[str, tuple[Shot, ...]] = {
    "Ines's phone compares": (
        Shot("client-stop-360", INES, on_phone("@kitchen"), PHONE),
        Shot("client-leave-360", INES, on_phone("@attic", "/leave"), PHONE),
        Shot(
            "client-panel-360",
            INES,
            on_phone("@panel_main", folder="p"),
            PHONE,
            ".panel",
        ),
        Shot("client-ready-dark-360", INES, on_phone(then="ready"), PHONE, dark=True),
        Shot("my-day-360", INES, of_day, PHONE),
        Shot("visit-360", INES, of_visit("walk/"), PHONE),
        Shot("stop-360", INES, of_record("stops", "@service"), PHONE),
        Shot(
            "proposals-360",
            INES,
            of_record("stops", "@service"),
            PHONE,
            "#proposals",
        ),
        Shot("panel-360", INES, of_record("panels", "@panel_main"), PHONE, PANEL),
        Shot("panel-1280", INES, of_record("panels", "@panel_main"), DESK, PANEL),
        Shot(
            "panel-dark-360",
            INES,
            of_record("panels", "@panel_main"),
            PHONE,
            PANEL,
            dark=True,
        ),
        Shot(
            "receptacle-360",
            INES,
            of_record("stops", "@kitchen", "receptacles/"),
            PHONE,
        ),
    ),
    "Lucinda writes a note": (
        Shot("review-1280", LUCINDA, of_visit("review/"), DESK),
        Shot(
            "finding-1280",
            LUCINDA,
            of_finding("the breaker or fuse is 20 A"),
            DESK,
        ),
    ),
    "Lucinda finishes the review": (
        Shot("rule-1280", LUCINDA, of_rule("elec.gfci.location"), DESK),
        Shot("standard-1280", LUCINDA, of_firm("standards/WA/"), DESK),
        Shot("states-1280", LUCINDA, of_visit("states/"), DESK, "table"),
        Shot("signing-360", INES, of_visit("sign/"), PHONE),
    ),
    "Dana lets the agent in": (
        Shot("report-360", DANA, at("/r/report/"), PHONE),
        Shot("report-1280", DANA, at("/r/report/"), DESK, begin="main h2"),
        Shot("gallery-1280", DANA, at("/r/report/gallery"), DESK),
    ),
    "Agnes opens the report": (
        Shot("release-1280", LUCINDA, of_visit("release/"), DESK, "#doors"),
    ),
}


def say(words: str) -> None:
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()


def main() -> None:
    stage.prepare()
    performance.load()
    with (
        stage.running() as running,
        performance.party(running.address, running.supervisor.check) as party,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox"]
        )
        walk(party, Tourist(say, party.go_on, party, browser))
        browser.close()
    keep_pages(party.keep / "report.pdf")


if __name__ == "__main__":
    main()
