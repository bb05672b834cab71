"""A visit's pictures: what was recorded, which bytes arrived, which copies are made."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from findings.imaging.marks import marks_of
from findings.models import Rendition
from firm import canonical
from firm.actor import Actor
from inspections.models import PhotoFile, Visit

KEPT_FOR_THE_FIRM: Final = "for_me"
SIZES: Final = frozenset(Rendition.Size.values)

Records = Mapping[str, Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class Picture:
    """One photo record with its stored bytes and the copies that fit its marks."""

    id: str
    record: Mapping[str, Any]
    file: PhotoFile | None
    copies: Mapping[str, Rendition]
    marked: bool

    @property
    def printable(self) -> bool:
        """Say whether a client may ever see it."""
        return self.record.get("use") != KEPT_FOR_THE_FIRM

    @property
    def stored(self) -> bool:
        return self.file is not None and self.file.state == PhotoFile.State.STORED

    @property
    def copied(self) -> bool:
        return set(self.copies) >= SIZES


def pictures(actor: Actor, visit: Visit, records: Records) -> tuple[Picture, ...]:
    """Return every photo of the visit in the order taken, in two queries."""
    files = {
        str(row.pk): row
        for row in PhotoFile.objects.filter(firm=actor.firm, visit=visit)
    }
    made: dict[tuple[str, str], dict[str, Rendition]] = defaultdict(dict)
    for row in Rendition.objects.filter(firm=actor.firm, photo__visit=visit):
        made[str(row.photo_id), row.marks_sha256][row.size] = row
    marked = {r.get("photo") for r in records.values() if r["kind"] == "mark"}
    found = []
    for key, record in records.items():
        if record["kind"] == "photo":
            marks = marks_of(records, key) if key in marked else []
            copies = made.get((key, canonical.digest(marks)), {})
            found.append(Picture(key, record, files.get(key), copies, bool(marks)))
    return tuple(sorted(found, key=_taken))


def _taken(picture: Picture) -> tuple[str, str]:
    return str(picture.record.get("taken_at") or ""), picture.id
