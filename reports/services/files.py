"""The stored files of a release, and which photos it shows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from django.http import Http404

from firm import storage
from reports.models import Artefact, Release, UrgentFile, UrgentNotice
from reports.rendering import notice_schema, reading

# In the order they are given, where somebody takes them and they have been made.
LIGHTER: Final = (("image/avif", "avif"), ("image/webp", "webp"))


@dataclass(frozen=True, slots=True)
class StoredFile:
    """Bytes to serve as they were stored, with their digest as the validator."""

    content: bytes
    sha256: str
    media: str = "image/jpeg"


def artefact(release: Release, kind: str) -> StoredFile:
    row = Artefact.objects.filter(release=release, kind=kind).first()
    if row is None or release.erased_at is not None:
        raise Http404
    return StoredFile(storage.get(row.storage_key), row.sha256)


def photo(release: Release, photo_id: str, size: str, kinds: str = "") -> StoredFile:
    """Return a photo that this very release shows; any other id is unknown.

    `kinds` is what the caller takes: a lighter format once there is one, else JPEG.
    """
    sha = _photos(bytes(release.snapshot)).get((photo_id, size))
    if sha is None:
        raise Http404
    stem = f"firm/{release.firm_id}/rendition/{sha}"
    for media, ending in LIGHTER:
        if media in kinds and storage.has(f"{stem}.{ending}"):
            content = storage.get(f"{stem}.{ending}")
            return StoredFile(content, f"{sha}-{ending}", media)
    return StoredFile(storage.get(f"{stem}.jpg"), sha)


def notice_pdf(notice: UrgentNotice) -> StoredFile:
    row = UrgentFile.objects.filter(notice=notice).first()
    if row is None:
        raise Http404
    return StoredFile(storage.get(row.storage_key), row.sha256)


def notice_photo(notice: UrgentNotice, sha256: str) -> StoredFile:
    """Return a picture that this very notice shows; any other digest is unknown."""
    told = notice_schema.from_bytes(bytes(notice.contents))
    if sha256 not in {photo.renditions.large.sha256 for photo in told.photos}:
        raise Http404
    key = f"firm/{notice.firm_id}/rendition/{sha256}.jpg"
    return StoredFile(storage.get(key), sha256)


@lru_cache(maxsize=64)
def _photos(snapshot: bytes) -> dict[tuple[str, str], str]:
    found = {}
    for shown in reading.from_bytes(snapshot).photos:
        copies = shown.renditions
        for size, copy in (
            ("large", copies.large),
            ("print", copies.print),
            ("thumb", copies.thumb),
        ):
            found[(shown.id, size)] = copy.sha256
    return found
