"""The only door through which a PDF gets files: names of this snapshot alone."""

import hashlib
from collections.abc import Callable, Mapping
from pathlib import Path

from weasyprint.urls import URLFetcher, URLFetcherResponse

from reports.rendering.notice_schema import Notice
from reports.rendering.schema import Snapshot

STATIC = Path(__file__).resolve().parent.parent.parent / "static"
FONTS = STATIC / "fonts"
STYLES = STATIC / "css" / "print"
PRINT_STYLES = (
    "fonts.css",
    "report.css",
    "cut.css",
    "letter.css",
    "a4.css",
    "notice.css",
)

Source = Callable[[], bytes]


class AssetFetcher(URLFetcher):  # type: ignore[misc]  # WeasyPrint carries no types
    """Serve `asset:` names from a fixed list and remember every other request."""

    def __init__(
        self, snapshot: Snapshot | Notice, assets: Mapping[str, bytes]
    ) -> None:
        super().__init__(allowed_protocols=["asset"], fail_on_errors=True)
        # No handler may be left that could open a file or a connection.
        self.handlers.clear()
        self.handle_open.clear()
        self.refused: list[str] = []
        self._known = _fixed_files() | _renditions(snapshot, assets)

    def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:  # noqa: ARG002 - WeasyPrint passes it
        found = self._known.get(url)
        if found is None:
            self.refused.append(url)
            raise ValueError(f"not an asset of this snapshot: {url[:200]}")
        kind, source = found
        try:
            data = source()
        except MissingAsset:
            self.refused.append(url)
            raise
        return URLFetcherResponse(url, data, {"Content-Type": kind})


class MissingAsset(ValueError):
    """The bytes of a rendition are missing, or are not those the snapshot names."""


def _fixed_files() -> dict[str, tuple[str, Source]]:
    fonts = {
        f"asset:font/{path.name}": ("font/woff2", path.read_bytes)
        for path in FONTS.glob("*.woff2")
    }
    styles = {
        f"asset:css/{name}": ("text/css", (STYLES / name).read_bytes)
        for name in PRINT_STYLES
    }
    return fonts | styles


def _renditions(
    snapshot: Snapshot | Notice, assets: Mapping[str, bytes]
) -> dict[str, tuple[str, Source]]:
    digests = {
        rendition.sha256
        for photo in snapshot.photos
        for rendition in (photo.renditions.print, photo.renditions.large)
    }
    return {
        f"asset:photo/{digest}": ("image/jpeg", _checked(digest, assets))
        for digest in digests
    }


def _checked(digest: str, assets: Mapping[str, bytes]) -> Source:
    def read() -> bytes:
        data = assets.get(digest)
        if data is None:
            raise MissingAsset(f"no bytes for the photo {digest}")
        if hashlib.sha256(data).hexdigest() != digest:
            raise MissingAsset(f"the bytes of the photo {digest} have another digest")
        return data

    return read
