"""The served copies of photos: made once per photo and set of marks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.db import transaction

from findings.imaging.derive import Refused, derive
from findings.models import Rendition
from findings.services import previews
from firm import canonical, storage
from firm.actor import Actor
from firm.tenancy import bound
from inspections.models import PhotoFile
from inspections.selectors.folded import folded

Marks = list[dict[str, Any]]


def make(*, actor: Actor, photo_id: UUID | str) -> None:
    """Make the copies of one stored photo; a second call finds them made.

    Bytes that no picture can be read from are kept; the reason is written beside them.
    """
    with bound(actor.firm.pk):
        photo = PhotoFile.objects.select_related("visit").get(pk=photo_id)
        if photo.state != PhotoFile.State.STORED:
            return
        records, _ = folded(actor, photo.visit)
        marks = marks_of(records, str(photo.pk))
        digest = canonical.digest(marks)
        if _made(photo, digest):
            return
    original = storage.get(photo.storage_key)
    try:
        made = derive(original, marks)
    except Refused as reason:
        with bound(actor.firm.pk):
            PhotoFile.objects.filter(pk=photo.pk).update(trouble=str(reason)[:200])
        return
    sizes = {"large": made.large, "print": made.print, "thumb": made.thumb}
    for copy in sizes.values():
        storage.put(f"firm/{actor.firm.pk}/rendition/{copy.sha256}.jpg", copy.bytes)
    with bound(actor.firm.pk):
        _write(actor, photo, digest, sizes)


@transaction.atomic
def _write(
    actor: Actor, photo: PhotoFile, digest: str, sizes: Mapping[str, Any]
) -> None:
    # Held against a preview that comes in at the same moment.
    PhotoFile.objects.select_for_update().get(pk=photo.pk)
    for size, copy in sizes.items():
        Rendition.objects.get_or_create(
            firm=actor.firm,
            photo=photo,
            marks_sha256=digest,
            size=size,
            defaults={
                "sha256": copy.sha256,
                "width": copy.width,
                "height": copy.height,
            },
        )
    PhotoFile.objects.filter(pk=photo.pk).exclude(trouble="").update(trouble="")
    previews.supersede(photo.pk)


def marks_of(records: Mapping[str, Mapping[str, Any]], photo_id: str) -> Marks:
    """Return the photo's marks in a fixed order, as the drawing code takes them."""
    found = [
        (
            key,
            {
                "shape": record.get("shape"),
                "points": record.get("points") or [],
                "colour": record.get("colour") or "ink",
                "text": record.get("text") or "",
            },
        )
        for key, record in records.items()
        if record["kind"] == "mark" and record.get("photo") == photo_id
    ]
    return [mark for _, mark in sorted(found, key=lambda pair: pair[0])]


def _made(photo: PhotoFile, digest: str) -> bool:
    return Rendition.objects.filter(photo=photo, marks_sha256=digest).count() == len(
        Rendition.Size.choices
    )
