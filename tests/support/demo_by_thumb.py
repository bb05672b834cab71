"""The demo's story driven through the field client's screens, stop by stop."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from tests.support.demo_kinds import Kinds
from tests.support.demo_panels import Panels
from tests.support.demo_told import fits, said_once

Entry = Mapping[str, Any]
LEGENDS = {"floor": "Floor", "corner": "Corner, seen facing the front"}
OTHERWISE = ("not_present", "not_inspected")
PLACE = {"name", "floor", "corner"}
ROOMS = {"Office": 1, "Stairs": 1, "Half bath": 1, "Attic": 1, "Under the floor": 1}


class Walk(Kinds, Panels):
    """Every stop of the story, entered as an inspector would."""

    def on_site(self) -> int:
        return self.thumb.taps.total() - self.thumb.taps["desk"]

    def all(self) -> None:
        self.begin()
        self.arrival(self.entries("visit")[0])
        left = {self.ids["@" + stop["label"]]: stop for stop in self.stops}
        order = [rec for rec, _ in self.on_route()]
        while left:
            # Where the client leads next, as long as it leads anywhere.
            here = self.page.evaluate("location.pathname").rsplit("/s/")[-1]
            rec = here if here in left else next(r for r in order if r in left)
            self.stop(left.pop(rec))
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
        left = self.on_route()
        for stop in self.stops:
            rec = next(r for r, one in left if fits(one, stop))
            left = [row for row in left if row[0] != rec]
            self.ids["@" + stop["label"]] = rec
        assert not left, left

    def on_route(self) -> list[tuple[str, Entry]]:
        found = self.page.evaluate("[...kingpost.opened.values()][0].stops()")
        return [(rec, one) for rec, one in found]

    def stop(self, stop: Entry) -> None:
        thumb, rec = self.thumb, self.ids["@" + stop["label"]]
        thumb.where, self.at = stop["label"], f"/s/{rec}"
        if not self.page.evaluate("location.pathname").endswith(self.at):
            self.page.evaluate(
                "(path) => kingpost.go(path)", f"/v/{self.said.visit}{self.at}"
            )
            thumb.count_tap("to the stop")  # from the route
        self.page.locator("h1").wait_for()
        self.place(stop, rec)
        log = list(stop.get("log", ()))
        log.sort(key=lambda entry: entry.get("kind") != "enclosure")
        self.log = log
        held = {entry.get("id") for entry in log if "draw" not in entry}
        for entry in log:
            if "draw" in entry:
                if not self.elsewhere(entry, held):
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
        thumb, now = self.thumb, self.record(rec)
        named = self.page.get_by_role("textbox", name="Called", exact=True)
        if named.count() and now["name"] != stop["name"]:
            thumb.write(named, stop["name"])
        for field in LEGENDS:
            if field in stop and now.get(field) != stop[field]:
                self.where_it_is(field, stop[field])
        now = self.record(rec)
        wrong = {f: stop[f] for f in PLACE if f in stop and now.get(f) != stop[f]}
        if wrong:
            thumb.to(f"{self.at}/i/this_place", "")
            for field, value in wrong.items():
                thumb.field("stop", field, value)
            thumb.back()

    def where_it_is(self, field: str, value: Any) -> None:
        thumb, legend = self.thumb, LEGENDS[field]
        taken = self.page.get_by_role("button", name=re.compile("^Floor:"))
        if field == "floor" and taken.count():
            thumb.tap(taken)  # the floor of the room before was taken
        if self.page.get_by_role("group", name=legend, exact=True).count():
            thumb.choose(legend, [thumb.word(value)])

    def elsewhere(self, entry: Entry, held: set[Any]) -> bool:
        """Say whether a picture is taken on the screen of what it shows."""
        about = str(entry.get("about", ""))
        return about in held or about.split("/", maxsplit=1)[0] in held

    def photo_here(self, entry: Entry) -> None:
        self.shoot(entry)

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
        self.say_absent()
        thumb.tap(self.page.locator('[data-name="close"]'))
        self.page.wait_for_timeout(350)

    def say_absent(self) -> None:
        """Say of what this stop would close that there is none of it."""
        for entry in self.entries("duty"):
            closes = self.page.locator(f'[data-closes="{entry["duty"]}"]')
            if entry["duty"] in self.absent or not closes.count():
                continue
            if entry["answer"] == "not_present" and not entry.get("text"):
                self.thumb.tap(closes.get_by_role("button", name="Not there"))
                self.absent.add(entry["duty"])
            elif entry in self.log and entry["answer"] in OTHERWISE:
                # Struck out, and said in words right there.
                self.thumb.tap(closes.locator(".row"))
                self.answer(entry, closes)
                self.absent.add(entry["duty"])

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

    # the end

    def leave(self) -> None:
        """What only comes together at the end, and the duties that are still open."""
        thumb = self.thumb
        thumb.where = "before leaving"
        self.page.evaluate("(path) => kingpost.go(path)", f"/v/{self.said.visit}/leave")
        thumb.count_tap("to the route")
        thumb.count_tap("Before you drive off")
        self.page.locator("h1", has_text="Before you drive off").wait_for()
        asked = self.page.evaluate(
            "() => [...document.querySelectorAll('[data-duty]')]"
            ".map((one) => one.dataset.duty)"
        )
        entries = [
            e
            for e in self.entries("duty")
            if e["duty"] not in self.absent and not said_once(e)
        ]
        order = {duty: at for at, duty in enumerate(dict.fromkeys(asked))}
        for entry in sorted(entries, key=lambda e: order.get(e["duty"], 999)):
            self.answer(entry)
        thumb.tap(self.page.locator('[data-name="drive-off"]'))
        thumb.settle()

    def answer(self, entry: Entry, within: Any = None) -> None:
        """Answer an open line: in its box if one stands ready, else by its key."""
        thumb, wanted = self.thumb, entry["answer"]
        scope = within or self.page
        line = scope.locator(f'[data-duty="{entry["duty"]}"]').first
        box = line.locator("textarea")
        key = line.locator(f'[data-name="{wanted}"]')
        ready = wanted in ("described", "operated") and entry.get("text")
        if not (ready and box.count()):
            if not key.count():
                thumb.unmet.append(f"{entry['duty']} {wanted}")
                return
            thumb.tap(key)
        if entry.get("text"):
            thumb.write(box, entry["text"])
        thumb.settle()

    def entries(self, kind: str) -> list[Entry]:
        every = (entry for stop in self.stops for entry in stop.get("log", ()))
        return [entry for entry in every if entry.get("kind") == kind]

    def desk(self) -> None:
        """Captions, marks and levels: written after leaving, away from the house."""
        self.thumb.where = "desk"
        ids = set(self.ids)
        for rec, entry in self.pictures:
            label = str(entry.get("about", ""))
            panel = label in ids and self.record(self.ids[label])["kind"] == "enclosure"
            if panel and self.record(rec).get("about") != self.ids[label]:
                self.page.evaluate(
                    "(path) => kingpost.go(path)", f"/v/{self.said.visit}/photo/{rec}"
                )
                self.page.get_by_role("button", name="Done", exact=True).wait_for()
                self.thumb.key(str(self.record(self.ids[label])["name"]))
                self.thumb.settle()
