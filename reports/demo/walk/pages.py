"""What a person needs of a page: its forms with what they hold already, its words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urljoin, urlsplit

_QUIET = {"script", "style", "head"}
_ENDS_A_WORD = {"p", "li", "h1", "h2", "h3", "div", "dt", "dd", "td", "tr", "label"}


@dataclass(slots=True)
class Form:
    """One form: where it goes and what a browser would send from it."""

    action: str
    method: str
    holds: list[tuple[str, str]] = field(default_factory=list)
    names: set[str] = field(default_factory=set)
    options: dict[str, list[tuple[str, str]]] = field(default_factory=dict)
    words: list[str] = field(default_factory=list)

    def says(self, words: str) -> bool:
        """Tell whether its labels and buttons hold these words."""
        return words in " ".join("".join(self.words).split())

    def filled(self, **typed: str | list[str]) -> list[tuple[str, str]]:
        """Return the pairs to send: what it holds, with what was typed instead."""
        pairs = [pair for pair in self.holds if pair[0] not in typed]
        for name, value in typed.items():
            values = value if isinstance(value, list) else [value]
            pairs += [(name, one) for one in values]
        return pairs

    def value(self, name: str) -> str:
        return next((value for held, value in self.holds if held == name), "")

    def choice(self, name: str, words: str) -> str:
        """Return the value of the option that shows these words; "" without one."""
        shown = self.options.get(name, [])
        return next((value for value, text in shown if words in text), "")


@dataclass(frozen=True, slots=True)
class Page:
    """A page as it was answered."""

    url: str
    status: int
    html: str
    forms: tuple[Form, ...]
    anchors: tuple[tuple[str, str], ...]
    text: str

    @property
    def links(self) -> tuple[str, ...]:
        """Return where its links lead."""
        return tuple(href for href, _ in self.anchors)

    def link(self, says: str, *, to: str = "") -> str:
        """Return the address of the first link with these words, or nothing."""
        for href, words in self.anchors:
            if says in words and urlsplit(href).path.endswith(to):
                return urljoin(self.url, href)
        return ""

    def form(self, *names: str, to: str = "", says: str = "") -> Form | None:
        """Return the first form with these fields, this end and these words."""
        return next(self.every_form(*names, to=to, says=says), None)

    def every_form(self, *names: str, to: str = "", says: str = "") -> Iterator[Form]:
        for form in self.forms:
            path = urlsplit(form.action).path
            fits = set(names) <= form.names and path.endswith(to)
            if fits and form.says(says):
                yield form


def read(url: str, status: int, html: str) -> Page:
    reader = _Reader()
    reader.feed(html)
    reader.close()
    text = " ".join("".join(reader.words).split())
    return Page(url, status, html, tuple(reader.forms), tuple(reader.anchors), text)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.anchors: list[tuple[str, str]] = []
        self._anchor: tuple[str, int] | None = None
        self.words: list[str] = []
        self._form: Form | None = None
        self._area: str | None = None
        self._select: str | None = None
        self._option: tuple[str, bool] | None = None
        self._held: list[str] = []
        self._quiet = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = {name: value or "" for name, value in attrs}
        self._quiet += tag in _QUIET
        if tag == "form":
            self._form = Form(has.get("action", ""), has.get("method", "get").lower())
            self.forms.append(self._form)
        elif tag == "a" and "href" in has:
            self._anchor = has["href"], len(self.words)
        elif tag in ("input", "textarea", "select", "option"):
            self._field(tag, has)

    def _field(self, tag: str, has: dict[str, str]) -> None:
        name = has.get("name", "")
        if self._form is None or "disabled" in has:
            return
        if name:
            self._form.names.add(name)
        if tag == "input" and name:
            self._input(self._form, name, has)
        elif tag == "textarea":
            self._area, self._held = name, []
        elif tag == "select":
            self._select = name
        elif tag == "option" and self._select:
            self._option, self._held = (has.get("value", ""), "selected" in has), []

    def _input(self, form: Form, name: str, has: dict[str, str]) -> None:
        kind = has.get("type", "text")
        value = has.get("value", "on" if kind in ("checkbox", "radio") else "")
        if kind in ("submit", "button", "file", "image"):
            return
        if kind not in ("checkbox", "radio") or "checked" in has:
            form.holds.append((name, value))

    def handle_data(self, data: str) -> None:
        if self._area is not None or self._option is not None:
            self._held.append(data)
        elif not self._quiet:
            self.words.append(data)
            if self._form is not None:
                self._form.words.append(data)

    def handle_endtag(self, tag: str) -> None:
        self._quiet -= tag in _QUIET
        if tag in _ENDS_A_WORD:
            self.words.append(" ")
        if tag == "form":
            self._form = None
        elif tag == "a" and self._anchor is not None:
            href, begun = self._anchor
            said = " ".join("".join(self.words[begun:]).split())
            self.anchors.append((href, said))
            self._anchor = None
        elif tag == "textarea" and self._form and self._area is not None:
            # HTML drops one line break right after the tag.
            text = "".join(self._held).removeprefix("\n")
            self._form.holds.append((self._area, text))
            self._area = None
        elif tag == "option" and self._form and self._select and self._option:
            self._end_option(self._form, self._select, *self._option)
        elif tag == "select":
            self._select = None

    def _end_option(self, form: Form, name: str, value: str, chosen: bool) -> None:  # noqa: FBT001
        shown = form.options.setdefault(name, [])
        shown.append((value, " ".join("".join(self._held).split())))
        already = any(held == name for held, _ in form.holds)
        if chosen or not (already or len(shown) > 1):
            form.holds = [pair for pair in form.holds if pair[0] != name]
            form.holds.append((name, value))
        self._option = None
