"""An urgent notice's PDF from its frozen contents: tagged, with them attached."""

import hashlib
import io
from collections.abc import Mapping
from datetime import datetime
from typing import Literal

from weasyprint import HTML, Attachment
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError

from reports.rendering import notice_schema, templating
from reports.rendering.fetcher import AssetFetcher
from reports.rendering.pdf import RefusedAsset

Paper = Literal["letter", "a4"]


def build(
    contents: bytes, assets: Mapping[str, bytes], *, paper: Paper = "letter"
) -> bytes:
    """Return the PDF; reads no database row, opens no file but our fonts and styles.

    Raises BadSnapshot, or RefusedAsset when a picture is missing, changed or foreign.
    """
    told = notice_schema.from_bytes(contents)
    fetcher = AssetFetcher(told, assets)
    digest = hashlib.sha256(contents).hexdigest()
    html = templating.render(
        "reports/urgent/print.html", {"n": told, "paper": paper, "digest": digest}
    )
    frozen = datetime.fromisoformat(told.frozen_at)
    attached = Attachment(
        file_obj=io.BytesIO(contents),
        url_fetcher=fetcher,
        name="urgent-notice.json",
        description="The frozen contents, as canonical JSON",
        created=frozen,
        modified=frozen,
        relationship="Source",
    )
    try:
        page = HTML(string=html, url_fetcher=fetcher, media_type="print")
        data: bytes = page.render(font_config=FontConfiguration()).write_pdf(
            pdf_variant="pdf/ua-1",
            pdf_identifier=bytes.fromhex(digest)[:16],
            attachments=[attached],
        )
    except FatalURLFetchingError as error:
        raise RefusedAsset(str(error.__cause__ or error)) from None
    if fetcher.refused:
        raise RefusedAsset(", ".join(sorted(set(fetcher.refused)))[:1000])
    return data
