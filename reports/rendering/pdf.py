"""A release's PDF from its snapshot: tagged, paged, with the snapshot attached."""

import gc
import io
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from typing import Literal

from weasyprint import CSS, HTML, Attachment
from weasyprint.document import Document
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError

from reports.rendering import page_numbers, pages, templating
from reports.rendering.book import Book
from reports.rendering.fetcher import AssetFetcher
from reports.rendering.schema import Photo

ROUNDS = 4

Paper = Literal["letter", "a4"]


class Unsettled(RuntimeError):
    """Stating the page numbers moved things, again and again."""


class RefusedAsset(ValueError):
    """Something in the report asked for a file that the snapshot does not name."""


def build(
    snapshot: bytes, assets: Mapping[str, bytes], *, paper: Paper = "letter"
) -> bytes:
    """Return the PDF; reads no database row, opens no file but our fonts and styles.

    snapshot: the canonical bytes as stored; assets: renditions by SHA-256.
    Raises BadSnapshot, or RefusedAsset when a picture is missing, changed or foreign.
    """
    book = Book(snapshot, _address, "print")
    fetcher = AssetFetcher(book.snapshot, assets)
    html = templating.render(
        "reports/print/report.html", {**pages.values(book), "paper": paper}
    )
    with _collector_off():
        try:
            data = _write(html, fetcher, book, snapshot)
        except FatalURLFetchingError as error:
            # Not an Exception: left alone it would pass every handler above us.
            raise RefusedAsset(str(error.__cause__ or error)) from None
    # WeasyPrint swallows a refusal inside a picture, so the list has the last word.
    if fetcher.refused:
        raise RefusedAsset(", ".join(sorted(set(fetcher.refused)))[:1000])
    return data


def _write(html: str, fetcher: AssetFetcher, book: Book, snapshot: bytes) -> bytes:
    issued = datetime.fromisoformat(book.snapshot.issued_at)
    attached = Attachment(
        file_obj=io.BytesIO(snapshot),
        url_fetcher=fetcher,
        name="snapshot.json",
        description="The released content, as canonical JSON",
        created=issued,
        modified=issued,
        relationship="Source",
    )
    data: bytes = _laid_out(html, fetcher).write_pdf(
        pdf_variant="pdf/ua-1",
        pdf_identifier=bytes.fromhex(book.digest)[:16],
        attachments=[attached],
    )
    return data


def _laid_out(html: str, fetcher: AssetFetcher) -> Document:
    fonts = FontConfiguration()
    page = HTML(string=html, url_fetcher=fetcher, media_type="print")
    document = page.render(font_config=fonts)
    if page_numbers.are_right(document):
        return document
    for _ in range(ROUNDS):
        real = page_numbers.begins(document)
        stated = CSS(string=page_numbers.sheet(real), url_fetcher=fetcher)
        document = page.render(stylesheets=[stated], font_config=fonts)
        if page_numbers.begins(document) == real:
            return document
    raise Unsettled("the page numbers do not settle")


def _address(photo: Photo, size: str) -> str:
    return f"asset:photo/{getattr(photo.renditions, size).sha256}"


@contextmanager
def _collector_off() -> Iterator[None]:
    # Layout makes millions of short-lived boxes; the cycle collector costs a third
    # of the time and frees nothing before the document is done.
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
        gc.collect()
