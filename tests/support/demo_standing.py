"""Where a walk through the story stands, and what is done at every kind of thing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from playwright.sync_api import Page

from reports.demo.script import Script
from tests.support.thumb import Thumb

Entry = Mapping[str, Any]


class Standing:
    """The page, the thumb on it, and the ids that the story's labels got there."""

    def __init__(self, page: Page, said: Script, stops: Iterable[Entry]) -> None:
        self.page, self.said, self.stops = page, said, list(stops)
        self.thumb = Thumb(page, said.visit)
        self.ids: dict[str, str] = {"@visit": said.visit}
        self.bytes = {photo.rec: photo for photo in said.photos()}
        self.pictures: list[tuple[str, Entry]] = []
        self.at = ""
        self.log: list[Entry] = []  # of the stop where one is
        self.absent: set[str] = set()  # duties said to have nothing there

    def record(self, rec: str) -> Mapping[str, Any]:
        self.thumb.settle()
        found: Mapping[str, Any] = self.page.evaluate(
            "(rec) => [...kingpost.opened.values()][0].rec(rec)", rec
        )
        return found

    def shoot(self, entry: Entry, key: str = "Photo") -> None:
        photo = self.bytes[self.said.ids[entry["id"]]]
        self.thumb.photo(photo.data, f"{photo.name}.jpg", key)
        self.pictures.append((self.thumb.newest("photo"), entry))

    def with_photos(self, photos: list[Entry]) -> None:
        self.thumb.settle()
        for one in photos:
            self.shoot(one)

    def more(self) -> None:
        self.thumb.tap(self.page.locator("summary", has_text="More about it"))
