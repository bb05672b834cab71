"""The parts of a report in reading order, leaving out those with nothing in them."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.safestring import SafeString

from reports.rendering import panel_drawing
from reports.rendering.book import Book, Reference
from reports.rendering.schema import Panel


@dataclass(frozen=True, slots=True)
class Heading:
    anchor: str
    title: str


@dataclass(frozen=True, slots=True)
class Section:
    """One part of the report: where it stands, what it is called, what prints it."""

    # The anchor sits on the heading: a section may begin at the foot of one page while
    # its heading, kept with what follows, stands on the next.

    anchor: str
    title: str
    template: str
    inner: tuple[Heading, ...] = ()


@dataclass(frozen=True, slots=True)
class PanelSheet:
    anchor: str
    panel: Panel
    role: str
    drawing: SafeString
    rows: tuple[panel_drawing.Row, ...]
    refs: tuple[Reference, ...]


def sections(book: Book) -> tuple[Section, ...]:
    return tuple(
        Section(anchor, title, f"reports/sections/{anchor}.html", inner)
        for anchor, title, inner, present in _parts(book)
        if present
    )


def panel_sheets(book: Book) -> tuple[PanelSheet, ...]:
    numbers = {finding.id: finding.number for finding in book.snapshot.findings}
    return tuple(
        PanelSheet(
            anchor=f"panel-{panel.id}",
            panel=panel,
            role=panel.role_words[:1].upper() + panel.role_words[1:],
            drawing=panel_drawing.draw(panel, numbers),
            rows=panel_drawing.rows(panel, numbers),
            refs=book.references(panel.findings),
        )
        for panel in book.snapshot.panels
    )


Listed = tuple[str, str, tuple[Heading, ...], bool]


def _parts(book: Book) -> Iterator[Listed]:
    snapshot = book.snapshot
    front = snapshot.front
    rooms = tuple(Heading(room.anchor, room.name) for room in book.rooms)
    chapters = tuple(Heading(one.anchor, one.system.label) for one in book.chapters)
    yield "rechecked", "Looked at again", (), bool(snapshot.rechecked)
    said = front.items or front.notice or front.intro or book.gaps
    yield "front", front.title, (), bool(said)
    yield "urgent", "Pointed out at once", (), bool(snapshot.urgent)
    trades = tuple(Heading(one.anchor, one.name) for one in book.trades)
    yield "trades", "Whom to call, and for what", trades, bool(trades)
    yield "places", "Place by place", rooms, bool(rooms)
    yield "systems", "System by system", chapters, bool(chapters)
    yield from _electrical(book)
    yield "ages", "How old the equipment is", (), bool(snapshot.ages)
    yield "figures", "Figures taken", (), bool(snapshot.measurements)
    yield "unseen", "What we could not see", (), bool(book.gaps)
    yield "method", "How it was looked at", (), True
    yield "older", "Older rules, newer habits", (), bool(snapshot.older_rules)
    yield "papers", "Papers from others", (), bool(snapshot.attachments)
    yield "told", "Told, not checked", (), bool(snapshot.told)
    yield "as_left", "As found, as left", (), bool(snapshot.as_left)
    yield "cautions", "Please keep in mind", (), True
    yield "people", "Who looked, who checked the words", (), True
    yield "glossary", "Words explained", (), bool(snapshot.glossary)
    yield "genuine", "How to check that this is genuine", (), True


def _electrical(book: Book) -> Iterator[Listed]:
    snapshot = book.snapshot
    panels = tuple(
        Heading(f"panel-{panel.id}", panel.name) for panel in snapshot.panels
    )
    yield "panels", "Panels, drawn", panels, bool(panels)
    yield "receptacles", "Receptacles tried", (), bool(snapshot.receptacles.rows)
    yield "alarms", "Alarms", (), bool(snapshot.alarms)
