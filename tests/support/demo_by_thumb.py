"""The demo's story driven through the field client's screens, stop by stop."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from playwright.sync_api import Page

from reports.demo.script import Script
from tests.support.thumb import Thumb

Entry = Mapping[str, Any]
PLACE = {"name", "floor", "corner"}
# What differs between two phones by nature: bytes, clocks, order on the route.
OWN = {"sha256", "size", "width", "height", "file_name", "camera", "taken_at", "pos",
       "closed_minutes", "closed_struck", "on_site", "media"}  # fmt: skip
ROOMS = {"Office": 1, "Stairs": 1, "Half bath": 1, "Attic": 1, "Under the floor": 1}
BRUSH = {(15, "14"): "15 A, 14 copper", (20, "12"): "20 A, 12 copper",
         (30, "10"): "30 A, 10 copper, two poles",
         (50, "6"): "50 A, 6 copper, two poles"}  # fmt: skip
PAINTED = {"amps", "size", "material", "poles", "stranding", "label", "load"}


class Walk:
    """Every stop of the story, entered as an inspector would."""

    def __init__(self, page: Page, said: Script, stops: Iterable[Entry]) -> None:
        self.page, self.said, self.stops = page, said, list(stops)
        self.thumb = Thumb(page, said.visit)
        self.ids: dict[str, str] = {"@visit": said.visit}
        self.bytes = {photo.rec: photo for photo in said.photos()}
        self.pictures: list[tuple[str, Entry]] = []
        self.at = ""

    def on_site(self) -> int:
        return self.thumb.taps.total() - self.thumb.taps["desk"]

    def all(self) -> None:
        self.begin()
        for stop in self.stops:
            self.stop(stop)
        self.leave()
        self.desk()

    # the route

    def begin(self) -> None:
        thumb = self.thumb
        thumb.tap(self.page.locator(".rows .row").first)
        thumb.key("Begin the walk")
        for name, more in ROOMS.items():
            for _ in range(more):
                thumb.tap(self.page.get_by_role("button", name=f"One more: {name}"))
        thumb.tap(self.page.get_by_role("button", name="Begin the walk"))
        self.page.locator("h2", has_text="Stops").wait_for()
        found = self.page.evaluate("[...kingpost.opened.values()][0].stops()")
        left = [(rec, one) for rec, one in found]
        for stop in self.stops:
            rec = next(r for r, one in left if fits(one, stop))
            left = [row for row in left if row[0] != rec]
            self.ids["@" + stop["label"]] = rec
        assert not left, left

    def stop(self, stop: Entry) -> None:
        thumb, rec = self.thumb, self.ids["@" + stop["label"]]
        thumb.where, self.at = stop["label"], f"/s/{rec}"
        self.page.evaluate(
            "(path) => kingpost.go(path)", f"/v/{self.said.visit}{self.at}"
        )
        thumb.taps[thumb.where] += 1  # from the route, or the last stop's own key
        self.page.locator("h1").wait_for()
        self.place(stop, rec)
        log = list(stop.get("log", ()))
        held = {entry.get("id") for entry in log if "draw" not in entry}
        for entry in log:
            if "draw" in entry:
                if entry.get("about", "") not in held:
                    self.photo_here(entry)
            elif entry.get("kind"):
                getattr(self, f"kind_{entry['kind']}", self.thing)(
                    entry,
                    [e for e in log if "draw" in e and e.get("about") == entry["id"]],
                )
            elif "paint" in entry:
                pass  # with its enclosure
        self.close(stop.get("leave", {}))

    def place(self, stop: Entry, rec: str) -> None:
        now = self.page.evaluate(
            "(rec) => [...kingpost.opened.values()][0].rec(rec)", rec
        )
        room = stop["stop_kind"] == "room"
        for field in ("floor", "corner"):
            if room and field in stop and not now.get(field):
                legend = (
                    "Floor" if field == "floor" else "Corner, seen facing the front"
                )
                self.thumb.choose(legend, [self.thumb.word(stop[field])])
        self.thumb.settle()
        wrong = {f: stop[f] for f in PLACE if f in stop and now.get(f) != stop[f]
                 and not (room and f != "name" and not now.get(f))}  # fmt: skip
        if wrong:
            self.thumb.to(f"{self.at}/i/this_place", "")
            for field, value in wrong.items():
                self.thumb.field("stop", field, value)
            self.thumb.back()

    def photo_here(self, entry: Entry) -> None:
        self.shoot(entry)

    def shoot(self, entry: Entry, key: str = "Photo") -> None:
        photo = self.bytes[self.said.ids[entry["id"]]]
        self.thumb.photo(photo.data, f"{photo.name}.jpg", key)
        self.pictures.append((self.thumb.newest("photo"), entry))

    def close(self, leave: Entry) -> None:
        thumb = self.thumb
        if leave.get("receptacles_seen") is not None:
            self.counts(leave)
        if leave.get("method") in ("ladder_at_edge", "not_done", "panel_removed"):
            words = (
                "I did not go"
                if leave["method"] == "not_done"
                else thumb.word(leave["method"])
            )
            thumb.tap(self.page.get_by_role("button", name=words, exact=True))
            if leave.get("method_reason"):
                box = self.page.locator(
                    'section[aria-label="How it was looked at"] textarea'
                )
                thumb.write(box, leave["method_reason"])
        elif (
            leave.get("method")
            and self.page.get_by_text("How do you look at it?").count()
        ):
            thumb.tap(
                self.page.get_by_role(
                    "button", name=thumb.word(leave["method"]), exact=True
                )
            )
        thumb.settle()
        thumb.to(f"{self.at}/leave", "Leaving")
        reason = self.page.get_by_label(re.compile("Here for less than a minute"))
        if reason.count():
            reason.first.evaluate("() => 0")  # a script is quick; a person is not asked
        thumb.tap(self.page.locator('[data-name="close"]'))
        self.page.wait_for_timeout(350)

    def counts(self, leave: Entry) -> None:
        thumb, few = self.thumb, "Receptacles tried, all correct"
        tried = leave["receptacles_tried"]
        if tried <= 6:
            thumb.choose(few, [str(tried)])
        named = {"Seen": "seen", "Correct": "correct", "Not reachable": "not_reachable"}
        more = {name: leave[f"receptacles_{field}"] for name, field in named.items()}
        plain = {"Seen": tried, "Correct": tried, "Not reachable": 0}
        if more != plain:
            open_ = self.page.get_by_role("button", name="More, or out of reach")
            if open_.count():
                thumb.tap(open_)
            for name in ("Not reachable", "Correct", "Seen"):
                if more[name] != plain[name]:
                    thumb.write(
                        self.page.get_by_role("textbox", name=name, exact=True),
                        str(more[name]),
                    )
                    thumb.settle()
        for legend, field in (
            ("Lights tried", "lights_tried"),
            ("Switches tried", "switches_tried"),
        ):
            if field in leave:
                thumb.choose(legend, [str(leave[field])])

    # kinds with screens of their own

    def kind_visit(self, entry: Entry, _photos: list[Entry]) -> None:
        thumb = self.thumb
        thumb.tap(self.page.get_by_role("button", name="Back"))
        thumb.to("/arrival", "Arrival")
        for field in (
            "weather_now",
            "rain_three_days",
            "ground",
            "occupied",
            "built_source",
        ):
            thumb.field("visit", field, entry[field])
        thumb.choose(
            "The front, with the main door, faces", [thumb.word(entry["front_faces"])]
        )
        for name, field in (("Outside, °F", "temp_out_f"), ("Inside, °F", "temp_in_f")):
            thumb.write(self.page.get_by_role("textbox", name=name), str(entry[field]))
        thumb.choose(
            "Who is here", [f"{one['name']}, {one['as']}" for one in entry["attended"]]
        )
        thumb.field("visit", "built_year", entry["built_year"])
        thumb.field("visit", "method_note", entry["method_note"])
        thumb.settle()
        thumb.back()
        thumb.to(self.at, "")

    def kind_hand_finding(self, entry: Entry, photos: list[Entry]) -> None:
        self.thumb.to(f"{self.at}/finding", "Something wrong")
        self.thumb.write(
            self.page.get_by_label(re.compile("In one line")), entry["line"]
        )
        self.ids[entry["id"]] = self.thumb.newest("hand_finding")
        self.with_photos(photos)
        self.thumb.back()

    def with_photos(self, photos: list[Entry]) -> None:
        self.thumb.settle()
        for one in photos:
            self.shoot(one)

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
        thumb.choose("Come back to look, when it can be seen", ["Offer a return visit"])
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
        thumb.write(
            self.page.get_by_role("textbox", name=re.compile("^Value")), entry["value"]
        )
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
        thumb.tap(self.page.locator('[data-name="keep"]'))
        self.page.wait_for_function(
            "(n) => [...kingpost.opened.values()][0].of('measure').length > n",
            arg=before,
        )
        self.with_photos(photos)
        thumb.back()

    def kind_observation(self, entry: Entry, photos: list[Entry]) -> None:
        thumb = self.thumb
        key = self.item_of(entry)
        self.item(key)
        label = thumb.book["items"]["items"][key]["ask"][entry["what"]]["label"]
        thumb.choose(label[0].upper() + label[1:], [thumb.word(entry["answer"])])
        thumb.settle()
        if entry.get("text"):
            thumb.write(self.page.get_by_label("In words").first, entry["text"])
        self.with_photos(photos)
        thumb.back()

    def kind_plate(self, entry: Entry, photos: list[Entry]) -> None:
        thumb = self.thumb
        self.item("plate")
        plates = thumb.book["items"]["plates"]
        thumb.choose("The plate of", [plates[entry["item"]]])
        thumb.settle()
        for one in photos:
            self.shoot(one, "Photo of it")
        for field in ("maker", "model", "serial", "made_year", "text"):
            if entry.get(field):
                thumb.field("plate", field, entry[field])
        thumb.settle()
        thumb.back()

    def kind_receptacle(self, entry: Entry, photos: list[Entry]) -> None:
        thumb = self.thumb
        thumb.tap(self.page.locator('[data-name="odd"]'))
        self.page.locator("h1", has_text="An odd receptacle").wait_for()
        lamps = entry.get("lamps", [])
        if lamps == ["hot_neutral", "hot_ground"]:
            thumb.tap(self.page.locator('[data-name="lit"]'))
        else:
            words = {"hot_neutral": "Hot and neutral", "hot_ground": "Hot and ground",
                     "neutral_ground": "Neutral and ground"}  # fmt: skip
            picked = [words[one] for one in lamps] or ["None lit"]
            thumb.choose("Lamps of the tester that are lit", picked)
        thumb.settle()
        if entry.get("repeated"):
            thumb.choose("Tried again", ["With the same result"])
        self.more()
        now = self.page.evaluate(
            "() => [...kingpost.opened.values()][0].of('receptacle').at(-1)"
        )
        self.ids[entry["id"]] = now[0]
        for field, value in entry.items():
            if field in ("id", "kind", "lamps", "lamps_none", "repeated", "died_with"):
                continue
            if field in ("protected_by", "circuit_space"):
                continue  # the others come later on the walk: at the end
            if now[1].get(field) != value:
                thumb.field("receptacle", field, value)
        self.with_photos(photos)
        thumb.back()

    def more(self) -> None:
        self.thumb.tap(self.page.locator("summary", has_text="More about it"))

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
        for field, value in entry.items():
            if field not in ("id", "kind", "reach", *preset) and value != []:
                thumb.field(kind, field, value)
        self.ids[entry["id"]] = thumb.newest(kind)
        self.with_photos(photos)
        thumb.back()

    def item_of(self, entry: Entry) -> str:
        for key, item in self.thumb.book["items"]["items"].items():
            if entry["what"] in item["ask"] and entry["item"] == (item["item"] or key):
                return str(key)
        raise KeyError(entry["what"])

    def item(self, key: str) -> None:
        """Tap an item's key; one that is not among the usual is found by letters."""
        thumb = self.thumb
        found = self.page.locator(f'a[data-name="{key}"]')
        self.page.locator("h2", has_text="To look at").wait_for()
        if not found.count():
            label = thumb.book["items"]["items"][key]["label"]
            thumb.write(self.page.get_by_label("Find an item, two letters"), label[:12])
            self.page.wait_for_timeout(100)
        thumb.tap(found)

    # the end

    def leave(self) -> None:
        """What only comes together at the end, and the duties that are still open."""
        thumb = self.thumb
        thumb.where = "before leaving"
        self.page.evaluate("(path) => kingpost.go(path)", f"/v/{self.said.visit}/leave")
        thumb.taps[thumb.where] += 2
        self.page.locator("h1", has_text="Before you drive off").wait_for()
        for entry in self.entries("duty"):
            line = self.page.locator(f'[data-duty="{entry["duty"]}"]').first
            if not line.count():
                continue
            thumb.tap(line.locator(f'[data-name="{entry["answer"]}"]'))
            if entry.get("text"):
                box = line.locator("textarea")
                if box.count():
                    thumb.write(box, entry["text"])
                    box.first.blur()
            thumb.settle()
        thumb.tap(self.page.locator('[data-name="drive-off"]'))
        thumb.settle()

    def entries(self, kind: str) -> list[Entry]:
        every = (entry for stop in self.stops for entry in stop.get("log", ()))
        return [entry for entry in every if entry.get("kind") == kind]

    def desk(self) -> None:
        """Captions, marks and levels: written after leaving, away from the house."""
        self.thumb.where = "desk"


def fits(one: Entry, stop: Entry) -> bool:
    """Say whether a stop of the new route can become a stop of the story."""
    if one["stop_kind"] != stop["stop_kind"]:
        return False
    if one["stop_kind"] == "outside":
        return bool(one.get("corner") == stop["corner"])
    return bool(one.get("room_use") == stop.get("room_use"))


def told(records: Mapping[str, Entry], visit: object) -> Counter[Any]:
    """Return what a visit says, whoever's ids and clocks it was said with."""
    named = {rec: called(one) for rec, one in records.items()} | {str(visit): "visit"}
    found: Counter[Any] = Counter()
    for one in records.values():
        said = {
            name: plain(value, named)
            for name, value in one.items()
            if name not in OWN
            and not name.endswith("_at")
            and value not in ("", [], None, False)
        }
        found[(one["kind"], tuple(sorted(said.items())))] += 1
    return found


def called(one: Entry) -> str:
    keys = (
        "name",
        "line",
        "place",
        "number",
        "what",
        "model",
        "duty",
        "caption",
        "reason",
    )
    return f"{one['kind']} " + " ".join(str(one[key]) for key in keys if key in one)


def plain(value: Any, named: Mapping[str, str]) -> Any:
    if isinstance(value, list):
        return tuple(plain(one, named) for one in value)
    if isinstance(value, dict):
        return tuple(sorted(value.items()))
    return named.get(value, value) if isinstance(value, str) else value
