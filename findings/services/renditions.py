"""The served copies of photos: made once per photo and set of marks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from findings.imaging.derive import Refused, derive
from findings.imaging.marks import Marks, marks_of, unmarked
from findings.models import Rendition
from findings.services import previews
from firm import canonical, jobs, storage
from firm.actor import Actor
from firm.tenancy import bound
from inspections.models import PhotoFile, Visit
from inspections.selectors.folded import folded


def make(*, actor: Actor, photo_id: UUID | str) -> None:
    """Make the copies of one stored photo; a second call finds them made.

    A marked photo also gets copies without what was drawn on it, for the firm to look
    under; what was blurred stays so. Bytes that no picture can be read from are kept;
    the reason is written beside them.
    """
    with bound(actor.firm.pk):
        photo = PhotoFile.objects.select_related("visit").get(pk=photo_id)
        if photo.state != PhotoFile.State.STORED:
            return
        records, _ = folded(actor, photo.visit)
        marks = marks_of(records, str(photo.pk))
        # The marked copies come last: the newest ones are what is served.
        wanted = {canonical.digest(one): one for one in (unmarked(marks), marks)}
        missing = {key: one for key, one in wanted.items() if not _made(photo, key)}
        if not missing:
            _make_newest(photo, canonical.digest(marks))
            return
    original = storage.get(photo.storage_key)
    for digest, drawn in missing.items():
        _make_one(actor, photo, original, digest, drawn)
    with bound(actor.firm.pk):
        _make_newest(photo, canonical.digest(marks))


def _make_one(
    actor: Actor, photo: PhotoFile, original: bytes, digest: str, marks: Marks
) -> None:
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


def _make_newest(photo: PhotoFile, digest: str) -> None:
    """Serve the copies of the marks as they stand, also after one was taken off."""
    others = Rendition.objects.filter(photo=photo).exclude(marks_sha256=digest)
    if others.exists():
        own = Rendition.objects.filter(photo=photo, marks_sha256=digest)
        own.update(made_at=timezone.now())


@transaction.atomic
def ask_for_missing(*, actor: Actor, visit: Visit) -> int:
    """Have copies made where marks came after the picture; return for how many."""
    records, _ = folded(actor, visit)
    marked = {str(r.get("photo")) for r in records.values() if r["kind"] == "mark"}
    stored = PhotoFile.objects.filter(
        firm=actor.firm, visit=visit, state=PhotoFile.State.STORED
    )
    asked = 0
    for photo in stored.filter(pk__in=[key for key in marked if key in records]):
        digest = canonical.digest(marks_of(records, str(photo.pk)))
        if not _made(photo, digest):
            jobs.enqueue(
                actor=actor,
                task="findings.make_renditions",
                key=f"{photo.pk}:{digest[:16]}",
                photo_id=str(photo.pk),
            )
            asked += 1
    return asked


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


def _made(photo: PhotoFile, digest: str) -> bool:
    return Rendition.objects.filter(photo=photo, marks_sha256=digest).count() == len(
        Rendition.Size.choices
    )
