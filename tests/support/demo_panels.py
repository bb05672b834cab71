"""The panels of the story: facts, brushes, labels, exceptions last."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tests.support.demo_standing import Standing
from tests.support.said import line_of

Entry = Mapping[str, Any]
BRUSH = {(15, "14"): "15 A, 14 copper", (20, "12"): "20 A, 12 copper",
         (30, "10"): "30 A, 10 copper, two poles",
         (50, "6"): "50 A, 6 copper, two poles"}  # fmt: skip


OTHER_TWO = "Two poles, another size"
IN_SIGHT = 7  # rows of a panel that a phone shows at once
# The kind is tapped before, and what feeds it is said at the space it comes from.
OTHERWISE = {"id", "kind", "enclosure_kind", "fed_from", "fed_by_space"}


class Panels(Standing):
    """How an enclosure and its spaces are entered."""

    def kind_enclosure(self, entry: Entry, photos: list[Entry]) -> None:
        thumb = self.thumb
        if self.page.get_by_role(
            "button", name="A panel or disconnect is here"
        ).count():
            thumb.key("A panel or disconnect is here")
        thumb.choose("What is it?", [thumb.word(entry["enclosure_kind"])])
        self.page.wait_for_function("() => location.pathname.includes('/p/')")
        self.page.locator("h1").wait_for()
        rec = self.ids[entry["id"]] = thumb.newest("enclosure")
        self.with_photos(photos)
        spaces = next(
            e
            for stop in self.stops
            for e in stop.get("log", ())
            if e.get("paint") == entry["id"]
        )["spaces"]
        thumb.to(f"/p/{rec}/facts", "The enclosure")
        own = {k: v for k, v in entry.items() if k not in OTHERWISE}
        text, said = line_of(thumb.book, "enclosure", own, list(own))
        thumb.line(text, more=True)
        for field, value in own.items():
            if field not in said:
                thumb.field("enclosure", field, value)
        thumb.settle()
        thumb.back()
        self.paint(rec, spaces)
        thumb.tap(self.page.locator('[data-name="map-done"]'))
        thumb.settle()
        thumb.tap(self.page.get_by_role("button", name="Back"))

    def paint(self, rec: str, spaces: Mapping[int, Entry]) -> None:
        """Alike ones with a brush, most of a kind last with "all still empty"."""
        thumb = self.thumb
        groups: dict[str, list[int]] = {}
        for number, space in spaces.items():
            kind = space.get("space_kind", "breaker")
            name = {"blank_filler": "Filler", "open": "Open"}.get(kind) or BRUSH.get(
                (space["amps"], space["size"]),
                OTHER_TWO if space.get("poles") == 2 else "15 A, 14 copper",
            )
            groups.setdefault(name, []).append(number)
        order = sorted(groups, key=lambda name: len(groups[name]))
        # Two-pole breakers first: a space below one of them is not drawn.
        order.sort(key=lambda name: "two poles" not in name.lower())
        for name in order:
            thumb.choose("Pick a brush, then tap or sweep spaces", [name])
            rows = groups[name]
            if name == order[-1]:
                thumb.tap(self.page.locator('[data-name="paint-rest"]'))
                rows = []
            for run in self.runs(rows):
                self.sweep(run)
                thumb.settle()
        thumb.to(f"/p/{rec}/labels", "Labels")
        for number, space in spaces.items():
            if space.get("label"):
                thumb.write(
                    self.page.locator(f'[data-space="{number}"]'),
                    space["label"],
                )
        thumb.settle()
        thumb.back()
        for number, space in spaces.items():
            self.exception(rec, number, space)

    def runs(self, numbers: list[int]) -> list[list[int]]:
        """Spaces of one column that a finger passes over without leaving it."""
        columns = self.page.evaluate(
            "() => [...document.querySelectorAll('.panel__column')].map((column) =>"
            " [...column.querySelectorAll('[data-number]')]"
            ".map((one) => Number(one.dataset.number)))"
        )
        found: list[list[int]] = []
        for column in columns:
            run: list[int] = []
            for number in column:
                if number in numbers:
                    run.append(number)
                if run and (number not in numbers or len(run) == IN_SIGHT):
                    found.append(run)
                    run = []
            found += [run] if run else []
        return found

    def sweep(self, run: list[int]) -> None:
        """Pass a finger over the spaces of a run; a single one is tapped."""
        if len(run) == 1:
            self.thumb.tap(self.page.locator(f'[data-number="{run[0]}"]'))
            return
        middle = self.page.locator(f'[data-number="{run[len(run) // 2]}"]')
        # At once: a page that still glides would slip away under the finger.
        at_once = "(one) => one.scrollIntoView({block: 'center', behavior: 'instant'})"
        middle.evaluate(at_once)
        mouse = self.page.mouse
        for number in run:
            box = self.page.locator(f'[data-number="{number}"]').bounding_box()
            assert box
            mouse.move(box["x"] + 20, box["y"] + box["height"] / 2)
            if number == run[0]:
                mouse.down()
        mouse.up()
        self.thumb.count_tap(f"sweep {run[0]} to {run[-1]}")

    def exception(self, rec: str, number: int, space: Entry) -> None:
        """What no brush and no label could say of one space."""
        thumb = self.thumb
        held = self.page.evaluate(
            "([rec, number]) => [...kingpost.opened.values()][0]"
            ".of('space', {enclosure: rec, number})[0][1]", [rec, number]
        )  # fmt: skip
        wrong = {f: v for f, v in space.items() if held.get(f) != v and v != ""}
        label = f"{self.label_of(rec)}/{number}"
        fed = self.fed_by(label)
        photos = [e for e in self.log if "draw" in e and e.get("about") == label]
        if not (wrong or fed or photos):
            return
        thumb.tap(self.page.locator(f'[data-number="{number}"]'))
        self.page.locator("h1", has_text=f"Space {number}").wait_for()
        text, said = line_of(thumb.book, "space", wrong, list(wrong))
        if text:
            thumb.line(text, more=True)
            thumb.settle()
        left = set(wrong) - said
        if left - {"amps", "size", "material", "poles", "load", "under_screw"}:
            self.more()
        for field in left:
            thumb.field("space", field, wrong[field])
        for name in fed:
            thumb.choose("It feeds", [name])
        self.with_photos(photos)
        thumb.settle()
        thumb.back()

    def label_of(self, rec: str) -> str:
        return next(label for label, one in self.ids.items() if one == rec)

    def fed_by(self, space: str) -> list[str]:
        """Name the enclosures of the story that a space feeds."""
        every = (e for stop in self.stops for e in stop.get("log", ()))
        return [e["name"] for e in every if e.get("fed_by_space") == space]
