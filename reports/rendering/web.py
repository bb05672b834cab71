"""A release's web page from its snapshot: one document, whole without JavaScript."""

import gzip
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import brotli

from reports.rendering import pages, templating
from reports.rendering.book import Book, Entry
from reports.rendering.schema import Photo

PhotoUrl = Callable[[str, str], str]


@dataclass(frozen=True, slots=True)
class Links:
    """Where things are, as the caller serves them; an empty address is left out.

    photo_url: (photo id, "large" | "print" | "thumb") -> address.
    """

    photo_url: PhotoUrl
    report: str
    gallery: str
    stylesheets: tuple[str, ...]
    script: str = ""
    pdf: str = ""
    data: str = ""
    verify: str = ""
    zip: str = ""
    trade: str = ""  # the folder of the sheets, one for each trade
    own_list: str = ""
    questions: str = ""
    people: str = ""
    papers: str = ""  # the folder of what others supplied


@dataclass(frozen=True, slots=True)
class Packed:
    """The page as stored: plain, and twice compressed for whoever can take it."""

    plain: bytes
    gzip: bytes
    brotli: bytes


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to narrow the findings: a name, and values that occur."""

    key: str
    label: str
    every: str
    values: tuple[tuple[str, str], ...]


def build(snapshot: bytes, *, links: Links) -> str:
    """Return the page; raises BadSnapshot. Nothing but the snapshot is read."""
    book = open_book(snapshot, links)
    values = pages.values(book)
    return templating.render(
        "reports/web/report.html",
        {
            **values,
            "links": links,
            "narrow": _choices(book),
            "total": str(len(book.entries)),
        },
    )


def pack(page: str) -> Packed:
    """Compress once, at release; the bytes are the same for the same page."""
    plain = page.encode()
    return Packed(
        plain=plain,
        gzip=gzip.compress(plain, 9, mtime=0),
        brotli=brotli.compress(plain, mode=brotli.MODE_TEXT, quality=11),
    )


def open_book(snapshot: bytes, links: Links) -> Book:
    def address(photo: Photo, size: str) -> str:
        return links.photo_url(photo.id, size)

    return Book(snapshot, address, "print")


def _choices(book: Book) -> tuple[Choice, ...]:
    entries = book.entries
    names = {place.id: place.name for place in book.snapshot.places}
    return (
        _choice("trade", "Whom to call", "anyone", entries, lambda e: e.trade),
        _choice("timing", "How soon", "any time", entries, lambda e: e.timing),
        _choice("place", "Where", "anywhere", entries, lambda e: names[e.place_id]),
    )


def _choice(
    key: str,
    label: str,
    every: str,
    entries: Iterable[Entry],
    words: Callable[[Entry], str],
) -> Choice:
    field = "place_id" if key == "place" else f"{key}_key"
    values = {getattr(entry, field): words(entry) for entry in entries}
    return Choice(key, label, every, tuple(values.items()))
