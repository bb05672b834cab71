"""The panels of the story: facts, brushes, labels, exceptions last."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from playwright.sync_api import Page

from tests.support.thumb import Thumb

if TYPE_CHECKING:
    from reports.demo.script import Script

Entry = Mapping[str, Any]
BRUSH = {(15, "14"): "15 A, 14 copper", (20, "12"): "20 A, 12 copper",
         (30, "10"): "30 A, 10 copper, two poles",
         (50, "6"): "50 A, 6 copper, two poles"}  # fmt: skip


class Panels:
    """How an enclosure and its spaces are entered."""

    page: Page
    said: Script
    thumb: Thumb
    ids: dict[str, str]
    stops: list[Entry]

    def with_photos(self, photos: list[Entry]) -> None:
        raise NotImplementedError

    def more(self) -> None:
        raise NotImplementedError

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
        for field, value in entry.items():
            if field not in (
                "id",
                "kind",
                "enclosure_kind",
                "fed_from",
                "fed_by_space",
            ):
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
                (space["amps"], space["size"]), "15 A, 14 copper"
            )
            groups.setdefault(name, []).append(number)
        order = sorted(groups, key=lambda name: len(groups[name]))
        # Two-pole breakers first: a space below one of them is not drawn.
        order.sort(key=lambda name: "two poles" not in name)
        for name in order:
            thumb.choose("Pick a brush, then tap or sweep spaces", [name])
            for number in groups[name]:
                thumb.tap(self.page.locator(f'[data-number="{number}"]'))
                thumb.settle()
        thumb.tap(
            self.page.get_by_role(
                "group", name="Pick a brush, then tap or sweep spaces"
            ).get_by_role("button", name=order[-1], exact=True)
        )
        thumb.to(f"/p/{rec}/labels", "Labels")
        for number, space in spaces.items():
            if space.get("label"):
                thumb.write(
                    self.page.locator(f'[data-space="{number}"]'),
                    space["label"],
                    tapped=number == min(spaces),
                )
                self.page.locator(f'[data-space="{number}"]').blur()
        thumb.settle()
        thumb.back()
        for number, space in spaces.items():
            self.exception(rec, number, space)

    def exception(self, rec: str, number: int, space: Entry) -> None:
        """What no brush and no label could say of one space."""
        thumb = self.thumb
        held = self.page.evaluate(
            "([rec, number]) => [...kingpost.opened.values()][0]"
            ".of('space', {enclosure: rec, number})[0][1]", [rec, number]
        )  # fmt: skip
        wrong = {f: v for f, v in space.items() if held.get(f) != v and v != ""}
        if not wrong:
            return
        thumb.tap(self.page.locator(f'[data-number="{number}"]'))
        self.page.locator("h1", has_text=f"Space {number}").wait_for()
        if set(wrong) - {"amps", "size", "material", "poles", "load", "under_screw"}:
            self.more()
        for field, value in wrong.items():
            thumb.field("space", field, value)
        thumb.settle()
        thumb.back()
