"""What phones read back: the feed of a visit's log, and the proof that all is here."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from firm.actor import Actor
from inspections.models import LogRow, PhotoFile, Visit
from inspections.selectors.folded import folded

_COLUMNS = (
    "version",
    "mutation",
    "by_id",
    "by__name",
    "device_id",
    "rec",
    "field",
    "value",
    "seen",
    "schema",
    "at",
    "got",
    "status",
    "why",
    "late",
    "raw",
    "releases",
)


@dataclass(frozen=True, slots=True)
class ChangesPage:
    """Entries after a version, in commit order; `more` when others follow."""

    changes: list[dict[str, Any]]
    more: bool
    version: int


@dataclass(frozen=True, slots=True)
class PhotoState:
    """A photo of the visit: whether its bytes are here, and which they are."""

    id: str
    sha256: str | None
    size: int | None
    stored: bool
    of: str | None = None  # the photo whose original it is


@dataclass(frozen=True, slots=True)
class Manifest:
    """What the server holds of a visit, to be compared with what a device holds.

    `digest` is the SHA-256 of every entry's id in version order, each followed by a
    line feed.
    """

    version: int
    count: int
    digest: str
    photos: list[PhotoState]


def changes(actor: Actor, visit: Visit, *, after: int, limit: int) -> ChangesPage:
    """Return entries with versions above `after`, those set apart among them."""
    # Version order is commit order, so nothing below a version can appear later.
    version = _version(actor, visit)
    rows = (
        LogRow.objects.filter(firm=actor.firm, visit=visit, version__gt=after)
        .filter(version__lte=version)
        .order_by("version")
        .values(*_COLUMNS)[:limit]
    )
    found = [_change(row) for row in rows]
    last = found[-1]["v"] if found else max(after, version)
    return ChangesPage(found, last < version, version)


def manifest(actor: Actor, visit: Visit) -> Manifest:
    """Return the count and digest of the log, and every photo it speaks of."""
    version = _version(actor, visit)
    ids = (
        LogRow.objects.filter(firm=actor.firm, visit=visit, version__lte=version)
        .order_by("version")
        .values_list("mutation", flat=True)
    )
    return Manifest(version, len(ids), digest_of(ids), _photos(actor, visit))


def digest_of(ids: Any) -> str:
    """Return the manifest's digest of ids in version order."""
    digest = hashlib.sha256()
    for id_ in ids:
        digest.update(f"{id_}\n".encode())
    return digest.hexdigest()


def _version(actor: Actor, visit: Visit) -> int:
    version: int = Visit.objects.values_list("version", flat=True).get(
        firm=actor.firm, pk=visit.pk
    )
    return version


def _change(row: dict[str, Any]) -> dict[str, Any]:
    return {
        "v": row["version"],
        "id": str(row["mutation"]),
        "by": str(row["by_id"]),
        "by_name": row["by__name"],
        "dev": _text(row["device_id"]),
        "rec": _text(row["rec"]),
        "field": row["field"],
        "value": row["value"],
        "seen": [str(id_) for id_ in row["seen"]],
        "schema": row["schema"],
        "at": row["at"],
        "got": row["got"].isoformat(),
        "status": row["status"],
        "why": row["why"] or None,
        "late": row["late"],
        "raw": bytes(row["raw"]).decode() if row["raw"] is not None else None,
        "release": _text(row["releases"]),
    }


def _photos(actor: Actor, visit: Visit) -> list[PhotoState]:
    """Return every photo that has a record or an upload; missing bytes are listed."""
    files = {
        str(photo.pk): PhotoState(
            str(photo.pk),
            photo.sha256,
            photo.size,
            stored=photo.state == PhotoFile.State.STORED,
            of=_text(photo.original_of),
        )
        for photo in PhotoFile.objects.filter(firm=actor.firm, visit=visit).exclude(
            state=PhotoFile.State.DROPPED
        )
    }
    for rec, record in folded(actor, visit)[0].items():
        if record["kind"] == "photo":
            for missing in _promised(rec, record):
                files.setdefault(missing.id, missing)
    return [files[id_] for id_ in sorted(files)]


def _promised(rec: str, record: Mapping[str, Any]) -> Iterator[PhotoState]:
    """Give what a photo's record says will be sent: the picture, and its original."""
    yield PhotoState(rec, record.get("sha256"), record.get("size"), stored=False)
    if record.get("original"):
        original, digest = str(record["original"]), record.get("original_sha256")
        yield PhotoState(original, digest, None, stored=False, of=rec)


def _text(value: UUID | None) -> str | None:
    return None if value is None else str(value)
