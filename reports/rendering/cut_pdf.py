"""A cut's PDF: tagged, addressed on every page, with nothing of the rest inside."""

from collections.abc import Mapping

from weasyprint import HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError

from reports.rendering import cut as cuts
from reports.rendering import templating
from reports.rendering.cut import Cut
from reports.rendering.fetcher import AssetFetcher
from reports.rendering.pdf import Paper, RefusedAsset
from reports.rendering.schema import Photo


def build(
    snapshot: bytes, assets: Mapping[str, bytes], cut: Cut, *, paper: Paper = "letter"
) -> bytes:
    """Return the PDF; raises BadSnapshot, or RefusedAsset when a picture is missing."""
    book = cuts.open_cut(snapshot, cut, _address, "print")
    fetcher = AssetFetcher(book.snapshot, assets)
    html = templating.render(
        "reports/print/cut.html", {**cuts.values(book, cut), "paper": paper}
    )
    page = HTML(string=html, url_fetcher=fetcher, media_type="print")
    try:
        data: bytes = page.write_pdf(
            pdf_variant="pdf/ua-1", font_config=FontConfiguration()
        )
    except FatalURLFetchingError as error:
        # Not an Exception: left alone it would pass every handler above us.
        raise RefusedAsset(str(error.__cause__ or error)) from None
    if fetcher.refused:
        raise RefusedAsset(", ".join(sorted(set(fetcher.refused)))[:1000])
    return data


def _address(photo: Photo, size: str) -> str:
    return f"asset:photo/{getattr(photo.renditions, size).sha256}"
