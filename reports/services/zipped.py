"""A report's photos as one ZIP, named by place and finding."""

from __future__ import annotations

import re
import tempfile
import unicodedata
import zipfile
from datetime import datetime
from typing import IO, Final

from firm import storage
from reports.models import Release
from reports.rendering.schema import Finding, Photo
from reports.services.told import photos_seen, snapshot_of

IN_MEMORY: Final = 8 * 1024 * 1024
LONGEST: Final = 60
UNSOUND: Final = re.compile(r"[^\w .,()-]+")


def photos(release: Release, *, whole: bool) -> IO[bytes]:
    """Return the archive, ready to be read from its beginning."""
    told = snapshot_of(release)
    seen = photos_seen(release, whole=whole)
    places = {place.id: place.name for place in told.places}
    order = {place.id: n for n, place in enumerate(told.places, 1)}
    shown: dict[str, Finding] = {}
    for finding in told.findings:
        for photo_id in finding.photos:
            shown.setdefault(photo_id, finding)
    moment = datetime.fromisoformat(told.issued_at).timetuple()[:6]
    # Left open on purpose: the answer reads it and closes it.
    out = tempfile.SpooledTemporaryFile(IN_MEMORY)  # noqa: SIM115
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as file:
        for number, photo in enumerate(told.photos, 1):
            if photo.id not in seen:
                continue
            folder = f"{order[photo.place]:02} {_sound(places[photo.place])}"
            name = f"{folder}/{_name(number, photo, shown.get(photo.id))}.jpg"
            large = photo.renditions.large.sha256
            content = storage.get(f"firm/{release.firm_id}/rendition/{large}.jpg")
            file.writestr(zipfile.ZipInfo(name, moment), content)
    out.seek(0)
    return out


def _name(number: int, photo: Photo, finding: Finding | None) -> str:
    """Return "photo 034, finding 12 Main panel", or the photo with its caption."""
    if finding is None:
        said = _sound(photo.caption)
        return f"photo {number:03}, {said}" if said else f"photo {number:03}"
    item = _sound(finding.item or finding.system)
    return f"photo {number:03}, finding {finding.number:02} {item}"


def _sound(text: str) -> str:
    """Return a name that every system takes: no slash, no leading dot, not too long."""
    plain = unicodedata.normalize("NFC", text)
    return " ".join(UNSOUND.sub(" ", plain).split())[:LONGEST].strip(" .")
