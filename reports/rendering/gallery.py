"""A release's gallery from its snapshot: every photo it shows, place by place."""

from dataclasses import dataclass

from reports.rendering import pages, templating
from reports.rendering.book import Book, Picture
from reports.rendering.web import Links, open_book


@dataclass(frozen=True, slots=True)
class Shelf:
    """The photos of one place, in the order they are numbered."""

    anchor: str
    name: str
    pictures: tuple[Picture, ...]


def build(snapshot: bytes, *, links: Links) -> str:
    """Return the page; raises BadSnapshot. Kept-back photos are not in a snapshot."""
    return page_of(open_book(snapshot, links), links)


def page_of(book: Book, links: Links) -> str:
    """Return the page of an opened book, whole or a part."""
    return templating.render(
        "reports/gallery/gallery.html",
        {
            **pages.heading(book),
            "links": links,
            "shelves": _shelves(book),
            "total": str(len(book.snapshot.photos)),
        },
    )


def _shelves(book: Book) -> tuple[Shelf, ...]:
    by_place: dict[str, list[Picture]] = {}
    for photo in book.snapshot.photos:
        by_place.setdefault(photo.place, []).append(book.picture(photo.id))
    return tuple(
        Shelf(f"place-{place.id}", place.name, tuple(by_place[place.id]))
        for place in book.snapshot.places
        if place.id in by_place
    )
