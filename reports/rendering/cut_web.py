"""What a reader of the front page alone sees in the browser: page and photos."""

from reports.rendering import cut as cuts
from reports.rendering import gallery, templating
from reports.rendering.book import Book
from reports.rendering.cut import Cut
from reports.rendering.schema import Photo
from reports.rendering.web import Links


def report_page(raw: bytes, cut: Cut, links: Links) -> str:
    """Return the page; raises BadSnapshot."""
    book = _open(raw, cut, links)
    return templating.render(
        "reports/web/cut.html", {**cuts.values(book, cut), "links": links}
    )


def gallery_page(raw: bytes, cut: Cut, links: Links) -> str:
    return gallery.page_of(_open(raw, cut, links), links)


def _open(raw: bytes, cut: Cut, links: Links) -> Book:
    def address(photo: Photo, size: str) -> str:
        return links.photo_url(photo.id, size)

    return cuts.open_cut(raw, cut, address, "print")
