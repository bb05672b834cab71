"""One thumb on the field client: every tap counted by stop, typing counted apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

from playwright.sync_api import FilePayload, Locator, Page

SETTLED = 330  # the client ignores taps in the first 300 ms of a screen
LONG = 14  # choices with more options than this are a list to open
# How many boxes on from where one types, by the keyboard's own key; 0 if too far.
STEPS = """
(box) => {
  let [at, steps] = [document.activeElement, 0];
  if (!at.matches('.text__box, .count__value') || at.closest('.line')) return 0;
  for (; at && at !== box && steps < 4; steps += 1) at = enter.nextBox(at);
  return at === box ? steps : 0;
}
"""

# The keyboard's own key means Done: in the last box, or in the line when it is empty.
LAST = """
() => {
  const at = document.activeElement;
  if (!at.matches('.text__box')) return false;
  if (at.closest('.line')) return !at.value;
  const keep = document.querySelector('.screen__actions [data-name="keep"]');
  if (keep) return !at.value;
  return Boolean(at.value) && !(at.rows >= 4) && !enter.nextBox(at);
}
"""


class Thumb:
    """Taps and types on one page; `where` names the stop that a tap counts for."""

    def __init__(self, page: Page, visit: str) -> None:
        self.page, self.base = page, f"/field/v/{visit}"
        self.taps: Counter[str] = Counter()
        self.typed: Counter[str] = Counter()
        self.photos: Counter[str] = Counter()
        self.log: list[str] = []  # every tap: where, and what was under the thumb
        self.unmet: list[str] = []  # what no screen understood or offered
        self.where = "before"
        page.evaluate(
            "async () => { globalThis.words = await"
            " import('/static/js/field/core/words.js');"
            " globalThis.enter = await import('/static/js/field/core/enter.js'); }"
        )
        self.book: Mapping[str, Any] = page.evaluate(
            "[...kingpost.opened.values()][0].book"
        )

    def tap(self, target: Locator) -> None:
        target.first.wait_for()
        if self.page.evaluate("performance.now() - kingpost.shownAt < 310"):
            self.page.wait_for_timeout(SETTLED)
        words = target.first.inner_text().split() or ["?"]
        target.first.click()
        self.count_tap(" ".join(words))

    def count_tap(self, what: str) -> None:
        self.taps[self.where] += 1
        self.log.append(f"{self.where}: {what[:60]}")

    def key(self, name: str, inside: Locator | None = None) -> None:
        """Tap a key or link by its first words."""
        scope = inside or self.page
        found = scope.get_by_role("button", name=name, exact=True)
        self.tap(found if found.count() else scope.get_by_role("link", name=name))

    def back(self) -> None:
        """Leave by Done; from the last box the keyboard's own key does the same."""
        if self.page.evaluate(LAST):
            self.enter()
        else:
            self.tap(self.page.get_by_role("button", name="Done", exact=True))

    def enter(self) -> None:
        """Press the lower right key of the phone's keyboard; it counts as typed."""
        self.page.wait_for_timeout(180)  # what was typed is saved
        self.page.keyboard.press("Enter")
        self.typed[self.where] += 1

    def line(self, text: str, *, more: bool = False) -> None:
        """Say several things in one line; a second Enter in the empty box is Done."""
        box = self.page.get_by_label("In one line", exact=True)
        self.write(box, text)
        self.enter()
        self.settle()
        if left := box.input_value():
            self.unmet.append(f"not understood: {left} of {text}")
            box.fill("")
        if not more:
            self.enter()

    def to(self, path: str, title: str) -> None:
        """Tap the link that leads to a screen of this visit."""
        self.tap(self.page.locator(f'a[href="{self.base}{path}"]'))
        self.page.locator("h1", has_text=title).wait_for()

    def label(self, kind: str, field: str) -> str:
        found: str = self.page.evaluate(
            "([kind, field]) => words.first(words.labelOf("
            "[...kingpost.opened.values()][0].book, kind, field))",
            [kind, field],
        )
        return found

    def word(self, value: Any) -> str:
        found: str = self.page.evaluate(
            "(value) => words.first(words.wordOf("
            "[...kingpost.opened.values()][0].book, value))",
            value,
        )
        return found

    def write(self, box: Locator, text: str, *, tapped: bool = True) -> None:
        """Type; a field that is not in focus yet costs a tap."""
        box.first.wait_for()
        for _ in range(box.first.evaluate(STEPS) if tapped else 0):
            self.enter()
        if tapped and not box.first.evaluate("(one) => one === document.activeElement"):
            self.count_tap(f"into a field for {text}")
        box.first.fill(text)
        self.typed[self.where] += len(text)
        box.first.dispatch_event("change")

    def choose(
        self, legend: str, words: list[str], scope: Locator | None = None
    ) -> None:
        group = (scope or self.page).get_by_role("group", name=legend, exact=True)
        for one in words:
            button = group.get_by_role("button", name=one, exact=True).first
            if button.get_attribute("aria-pressed") != "true":
                self.tap(button)

    def field(self, kind: str, field: str, value: Any) -> None:
        """Answer one field as its form asks for it."""
        form = self.book["vocabulary"]["kinds"][kind][field]
        label = self.label(kind, field)
        match form["form"]:
            case "choice" if len(form["options"]) > LONG:
                self._list(label, str(value))
            case "choice":
                self.choose(label, [self.word(value)])
            case "choices":
                self.choose(label, [self.word(one) for one in value])
            case "flag":
                self.choose(label, ["Yes" if value else "No"])
            case "rec":
                self._list(label, str(value))
            case "list":
                self.write(self.page.get_by_label(label, exact=True), ", ".join(value))
            case _ if field == "instrument":
                self._list(label, str(value))
            case _:
                self.write(self.page.get_by_label(label, exact=True), str(value))

    def _list(self, label: str, value: str) -> None:
        self.page.get_by_label(label, exact=True).first.select_option(value)
        self.count_tap(f"open the list {label}")
        self.count_tap(f"pick {value}")

    def photo(self, data: bytes, name: str, key: str = "Photo") -> None:
        """One tap on the shutter; the camera's own taps are the phone's."""
        before = self.count("photo")
        shutter = self.page.locator(".screen__actions .shutter", has_text=key)
        chosen = shutter.first.locator("input")
        if self.page.evaluate("performance.now() - kingpost.shownAt < 310"):
            self.page.wait_for_timeout(SETTLED)
        chosen.set_input_files(
            [FilePayload(name=name, mimeType="image/jpeg", buffer=data)]
        )
        self.count_tap(f"{key}: {name}")
        self.photos[self.where] += 1
        self.page.wait_for_function(
            "(n) => [...kingpost.opened.values()][0].of('photo').length > n", arg=before
        )

    def count(self, kind: str) -> int:
        return int(
            self.page.evaluate(
                "(kind) => [...kingpost.opened.values()][0].of(kind).length", kind
            )
        )

    def newest(self, kind: str) -> str:
        """Return the id of the record of a kind that was made last."""
        self.settle()
        found: str = self.page.evaluate(
            "(kind) => [...kingpost.opened.values()][0].of(kind).at(-1)[0]", kind
        )
        return found

    def settle(self) -> None:
        """Wait until what was typed is on disk."""
        self.page.wait_for_timeout(200)
        self.page.evaluate("[...kingpost.opened.values()][0].outbox.turn")

    def table(self) -> str:
        rows = [
            f"{stop:28} {taps:5} {self.photos[stop]:7} {self.typed[stop]:8}"
            for stop, taps in self.taps.items()
        ]
        whole = f"{'in all':28} {self.taps.total():5} {self.photos.total():7} "
        head = f"{'stop':28} {'taps':>5} {'photos':>7} {'typed':>8}"
        return "\n".join([head, *rows, f"{whole}{self.typed.total():8}"])
