"""A part of a report to hand out: what it holds, and its values for any template."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any, Literal

import msgspec

from reports.rendering import outline, pages
from reports.rendering.book import Address, Book, Entry
from reports.rendering.narrowing import narrow

Kind = Literal["trade", "list", "summary"]


class Line(msgspec.Struct, frozen=True):
    """One line of a client's list: their words, and the finding they mean, if any."""

    words: str
    finding: str = ""


class Cut(msgspec.Struct, frozen=True):
    """Which findings a cut holds, what it is called, and where it can be checked."""

    kind: Kind
    title: str
    lead: str
    findings: tuple[str, ...]
    lines: tuple[Line, ...] = ()
    written_by: str = ""
    check_at: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One line as printed: somebody's words, a finding in full, or both."""

    words: str
    entry: Entry | None


def open_cut(raw: bytes, cut: Cut, address: Address, size: str) -> Book:
    """Return the book of a cut; it holds nothing that the cut does not."""
    part = partial(
        narrow,
        keep=frozenset(cut.findings),
        everywhere=cut.kind == "summary",
        panels=cut.kind == "trade",
    )
    return Book(raw, address, size, part)


def values(book: Book, cut: Cut) -> dict[str, Any]:
    """Return what the templates of a cut ask for; all of it finished text."""
    return pages.heading(book) | {
        "cut": cut,
        "rows": tuple(_rows(book, cut)),
        "panels": outline.panel_sheets(book),
        "part_of": part_of(book),
        "licences": _licences(book),
    }


def part_of(book: Book) -> str:
    s = book.snapshot
    return f"Part of report {s.number}, issue {s.issue}: {book.title}"


def _rows(book: Book, cut: Cut) -> Iterator[Row]:
    entries = {
        finding.id: entry
        for finding, entry in zip(book.snapshot.findings, book.entries, strict=True)
    }
    if cut.kind == "list":
        for line in cut.lines:
            yield Row(line.words, entries.get(line.finding))
    else:
        for entry in entries.values():
            yield Row("", entry)


def _licences(book: Book) -> str:
    people = book.snapshot.people.looked_by
    return "; ".join(
        f"{one.name}, license {one.licence}" if one.licence else one.name
        for one in people
    )
