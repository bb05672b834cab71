"""Each kind of record of the story, on the screen where a person enters it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from tests.support.demo_standing import Standing
from tests.support.said import line_of

Entry = Mapping[str, Any]
# What the arrival card asks, beside who is there.
CARD = ("weather_now", "rain_three_days", "ground", "occupied", "front_faces",
        "temp_out_f", "temp_in_f")  # fmt: skip


class Kinds(Standing):
    """What a walk knows to enter; the walk itself says where it stands."""

    def kind_visit(self, _entry: Entry, _photos: list[Entry]) -> None:
        """Said on the arrival card, before the first stop."""

    def arrival(self, entry: Entry) -> None:
        thumb = self.thumb
        thumb.where = "arrival"
        thumb.to("/arrival", "Arrival")
        asked = [*CARD, "built_year", "built_source", "method_note"]
        text, said = line_of(thumb.book, "visit", entry, asked)
        thumb.line(text, more=True)
        for field in asked:
            if field not in said:
                thumb.field("visit", field, entry[field])
        thumb.choose(
            "Who is here", [f"{one['name']}, {one['as']}" for one in entry["attended"]]
        )
        thumb.settle()
        thumb.back()

    def kind_hand_finding(self, entry: Entry, photos: list[Entry]) -> None:
        thumb = self.thumb
        thumb.to(f"{self.at}/finding", "Something wrong")
        self.page.wait_for_timeout(100)
        thumb.write(self.page.get_by_label(re.compile("In one line")), entry["line"])
        self.ids[entry["id"]] = thumb.newest("hand_finding")
        for at, one in enumerate(photos):
            if at:
                thumb.key("One more picture")
                self.page.locator("h1", has_text=entry["line"][:20]).wait_for()
            self.shoot(one)
        if not photos or len(photos) > 1:
            thumb.back()
        self.page.locator("h2", has_text="To look at").wait_for()

    def kind_duty(self, entry: Entry, _photos: list[Entry]) -> None:
        """Answered where it is offered: before driving off at the latest."""

    def kind_runner(self, entry: Entry, _photos: list[Entry]) -> None:
        thumb = self.thumb
        self.item("runner")
        self.pick_or_type("What runs", entry["what"])
        thumb.choose("Call me in", ["10 min"])
        self.page.wait_for_timeout(350)
        thumb.key("It is off")
        thumb.settle()

    def pick_or_type(self, legend: str, text: str) -> None:
        group = self.page.get_by_role("group", name=legend, exact=True)
        known = group.get_by_role("button", name=text, exact=True)
        if known.count():
            self.thumb.tap(known)
        else:
            self.thumb.write(self.page.get_by_label("Or something else"), text)
            self.thumb.settle()

    def kind_as_left(self, entry: Entry, _photos: list[Entry]) -> None:
        thumb = self.thumb
        self.item("as_left")
        self.pick_or_type("What", entry["what"])
        thumb.write(self.page.get_by_label(re.compile(": found$")), entry["found"])
        thumb.settle()
        if entry["put_back"]:
            thumb.key("Left as found")
        else:
            thumb.write(self.page.get_by_label("Left otherwise"), entry["left"])
            thumb.settle()
            thumb.tap(self.page.get_by_role("button", name="Back"))
        self.page.wait_for_timeout(350)

    def kind_limit(self, entry: Entry, photos: list[Entry]) -> None:
        thumb = self.thumb
        thumb.to(f"{self.at}/limit", "Could not look")
        thumb.choose("What stood in the way", [thumb.word(entry["reason"])])
        thumb.write(self.page.get_by_label("In words"), entry["text"])
        thumb.choose("Told", [entry["told"]])
        if entry.get("return_visit"):
            thumb.choose(
                "Come back to look, when it can be seen", ["Offer a return visit"]
            )
        self.with_photos(photos)
        thumb.back()

    def kind_hazard(self, entry: Entry, photos: list[Entry]) -> None:
        thumb = self.thumb
        thumb.to(f"{self.at}/hazard", "Someone must be told")
        thumb.write(self.page.get_by_label("What could hurt somebody"), entry["what"])
        thumb.write(self.page.get_by_label("Somebody else was told"), entry["told"])
        if entry.get("left_off"):
            thumb.write(self.page.get_by_label("What was left off"), entry["left_off"])
        self.with_photos(photos)
        thumb.back()

    def kind_told(self, entry: Entry, _photos: list[Entry]) -> None:
        thumb = self.thumb
        self.item("talk")
        thumb.choose("Who was present", entry["present"].split(", "))
        thumb.settle()
        thumb.write(self.page.get_by_label("What was said"), entry["text"])
        thumb.write(self.page.get_by_label("What was promised"), entry["promised"])
        thumb.settle()
        thumb.back()
        self.page.evaluate(
            "(path) => kingpost.go(path)", f"/v/{self.said.visit}{self.at}"
        )

    def kind_note(self, entry: Entry, photos: list[Entry]) -> None:
        self.thumb.to(f"{self.at}/note", "A note")
        self.thumb.write(self.page.get_by_label("In your words"), entry["text"])
        self.with_photos(photos)
        self.thumb.back()

    def kind_measure(self, entry: Entry, photos: list[Entry]) -> None:
        thumb = self.thumb
        key = self.item_of(entry)
        self.item(key)
        asks = thumb.book["items"]["items"][key]["ask"]
        if len(asks) > 1:
            label = asks[entry["what"]]["label"]
            thumb.choose("What was measured", [label[0].upper() + label[1:]])
        box = self.page.get_by_role("textbox", name=re.compile("^Value"))
        thumb.write(box, entry["value"])
        if entry["how_known"] != "measured":
            thumb.choose("How it is known", [thumb.word(entry["how_known"])])
        elif entry.get("instrument"):
            name = next(
                o["name"]
                for o in thumb.book["instruments"]
                if o["key"] == entry["instrument"]
            )
            group = self.page.get_by_role("group", name="Measured with", exact=True)
            tool = group.get_by_role("button", name=re.compile("^" + re.escape(name)))
            if tool.get_attribute("aria-pressed") != "true":
                thumb.tap(tool)
        before = thumb.count("measure")
        if box.first.evaluate("(one) => one === document.activeElement"):
            thumb.enter()
        else:
            thumb.tap(self.page.locator('[data-name="keep"]'))
        self.page.wait_for_function(
            "(n) => [...kingpost.opened.values()][0].of('measure').length > n",
            arg=before,
        )
        self.with_photos(photos)
        self.leave_item(entry)

    def kind_observation(self, entry: Entry, photos: list[Entry]) -> None:
        thumb = self.thumb
        key = self.item_of(entry)
        self.item(key)
        label = thumb.book["items"]["items"][key]["ask"][entry["what"]]["label"]
        asked = label[0].upper() + label[1:]
        thumb.choose(asked, [thumb.word(entry["answer"])])
        thumb.settle()
        if photos and "/i/" not in self.page.evaluate("location.pathname"):
            thumb.tap(self.page.get_by_role("link", name="More of it, with a picture"))
        if entry.get("text"):
            group = self.page.get_by_role("group", name=asked, exact=True)
            words = group.locator("xpath=..").get_by_label("In words")
            thumb.write(words, entry["text"])
        self.with_photos(photos)
        self.leave_item(entry)

    def kind_plate(self, entry: Entry, photos: list[Entry]) -> None:
        thumb = self.thumb
        self.item("plate")
        plates = thumb.book["items"]["plates"]
        thumb.choose("The plate of", [plates[entry["item"]]])
        thumb.settle()
        for one in photos:
            self.shoot(one, "Photo of it")
        fields = ["maker", "model", "serial", "made_year", "text"]
        text, said = line_of(thumb.book, "plate", entry, fields)
        thumb.line(text, more=True)
        for field in fields:
            if entry.get(field) and field not in said:
                thumb.field("plate", field, entry[field])
        thumb.back()

    def kind_receptacle(self, entry: Entry, photos: list[Entry]) -> None:
        thumb = self.thumb
        thumb.tap(self.page.locator('[data-name="odd"]'))
        self.page.locator("h1", has_text="An odd receptacle").wait_for()
        own = {k: v for k, v in entry.items() if k not in ("id", "kind", "died_with")}
        for field, kind in (("circuit_space", "space"), ("protected_by", "receptacle")):
            if field in own:
                later = own[field].split("/")[0] not in self.ids
                own[field] = None if later else self.called(kind, own[field])
        own = {name: value for name, value in own.items() if value is not None}
        kinds = {name: own.pop(name) for name in ("receptacle_kind", "contacts")}
        text, said = line_of(thumb.book, "receptacle", own, list(own))
        thumb.line(text, more=True)
        self.ids[entry["id"]] = rec = thumb.newest("receptacle")
        held = self.record(rec)
        for field in [*(set(own) - said), *kinds]:
            if field not in said and held.get(field) != entry[field]:
                thumb.field("receptacle", field, entry[field])
        self.links(entry)
        self.with_photos(photos)
        thumb.back()

    def links(self, entry: Entry) -> None:
        """What went dead with what, each said where the later of the two is."""
        every = (e for stop in self.stops for e in stop.get("log", ()))
        buttons = [e["id"] for e in every if entry["id"] in e.get("died_with", ())]
        for legend, others in (
            ("Died with it, and came back with it", entry.get("died_with", ())),
            ("It went dead with the button of", buttons),
        ):
            known = [self.place_of(one) for one in others if one in self.ids]
            if known:
                self.thumb.choose(legend, known)

    def place_of(self, label: str) -> str:
        one = self.record(self.ids[label])
        place = str(one["place"])
        return f"{place[0].upper()}{place[1:]}, {self.record(one['stop'])['name']}"

    def called(self, kind: str, label: str) -> str:
        """Name a record as a person would: a space by its number and panel."""
        if kind == "receptacle":
            one = self.record(self.ids[label])
            room = str(self.record(one["stop"])["name"]).replace(",", "")
            return f"{str(one['place']).replace(',', '')} {room}"
        panel, number = label.split("/")
        name = str(self.record(self.ids[panel])["name"])
        return f"{number} {name.lower()}"

    def thing(self, entry: Entry, photos: list[Entry]) -> None:
        """Any other record: the form of its item."""
        thumb, kind = self.thumb, entry["kind"]
        key = next(
            k
            for k, one in thumb.book["items"]["items"].items()
            if one["record"] == kind
        )
        self.item(key)
        again = self.page.get_by_role("button", name="Another one", exact=True)
        if again.count():
            thumb.tap(again)
        preset = thumb.book["items"]["items"][key].get("preset", {})
        fields = [f for f, value in entry.items() if value != []
                  and f not in ("id", "kind", "reach", *preset)]  # fmt: skip
        said: set[str] = set()
        if self.page.get_by_label("In one line", exact=True).count():
            text, said = line_of(thumb.book, kind, entry, fields)
            thumb.line(text, more=True)
        for field in fields:
            if field not in said:
                thumb.field(kind, field, entry[field])
        self.ids[entry["id"]] = thumb.newest(kind)
        self.with_photos(photos)
        thumb.back()

    def item_of(self, entry: Entry) -> str:
        for key, item in self.thumb.book["items"]["items"].items():
            own = item.get("item", key)
            if entry["what"] in item.get("ask", {}) and entry["item"] == own:
                return str(key)
        raise KeyError(entry["what"])

    def item(self, key: str) -> None:
        """Tap an item's key; one that is not among the usual is found by letters."""
        thumb = self.thumb
        if self.page.evaluate("location.pathname").endswith(f"/i/{key}"):
            return
        self.page.locator("h2", has_text="To look at").wait_for()
        found = self.page.locator(f'[data-name="{key}"], a[href$="{self.at}/i/{key}"]')
        if not found.count():
            label = thumb.book["items"]["items"][key]["label"]
            thumb.write(self.page.get_by_label("Find an item, two letters"), label[:12])
            self.page.wait_for_timeout(100)
        if found.first.get_attribute("aria-pressed") != "true":
            thumb.tap(found)

    def leave_item(self, entry: Entry) -> None:
        """Go back, unless what comes next belongs to the same item."""
        after = self.log[self.log.index(entry) + 1 :]
        then = next((e for e in after if e.get("kind")), {"kind": ""})
        same = then["kind"] == entry["kind"] and self.item_of(then) == self.item_of(
            entry
        )
        if not same and "/i/" in self.page.evaluate("location.pathname"):
            self.thumb.back()
