"""A phone's small copy of a photo, shown until the photo itself has arrived."""

from __future__ import annotations

from datetime import datetime
from typing import Final
from uuid import UUID

from django.db import IntegrityError

from findings.imaging.derive import Refused, derive
from findings.imaging.derive import Rendition as Copy
from findings.models import PhotoPreview, Rendition
from firm import storage
from firm.actor import Actor
from firm.errors import Refusal
from firm.tenancy import bound
from inspections.access import visit_to_record
from inspections.models import Head, PhotoFile, Visit

MAX_BYTES: Final = 64 * 1024
MAX_EDGE: Final = 320


class NoSuchPhoto(Refusal):
    """The visit's log names no such photo; entries come before pictures."""

    code = "no-such-photo"


class NotAPreview(Refusal):
    """It is no small picture; send the photo itself as an upload."""

    code = "not-a-preview"
    status = 415


def keep(
    *, actor: Actor, visit_id: UUID, photo_id: UUID, content: bytes, now: datetime
) -> bool:
    """Keep a preview, made anew from what was sent; False where none is needed.

    The same again changes nothing. Raises Http404, NotAllowed, NoSuchPhoto and
    NotAPreview.
    """
    digest = storage.sha256(content)
    with bound(actor.firm.pk):
        visit = visit_to_record(actor, visit_id)
        _require_photo(visit, photo_id)
        if not _needed(visit, photo_id, digest):
            return False
    # Outside of any lock: decoding takes its time in a process of its own.
    made = _made_anew(content)
    try:
        with bound(actor.firm.pk):
            return _write(actor, visit, photo_id, digest, made, now)
    except IntegrityError as taken:
        raise NoSuchPhoto("This photo id is not free.") from taken


def supersede(photo_id: UUID) -> None:
    """Let go of a preview whose photo has copies of its own now; the firm is bound."""
    PhotoPreview.objects.filter(pk=photo_id).delete()


def _require_photo(visit: Visit, photo_id: UUID) -> None:
    named = Head.objects.filter(
        firm=visit.firm_id, visit=visit, rec=photo_id, field="kind", value="photo"
    )
    if not named.exists():
        raise NoSuchPhoto(
            "Send the photo's entries first; the visit has no such photo."
        )


def _needed(visit: Visit, photo_id: UUID, digest: str) -> bool:
    if Rendition.objects.filter(firm=visit.firm_id, photo=photo_id).exists():
        return False
    held = PhotoPreview.objects.filter(firm=visit.firm_id, pk=photo_id)
    return digest not in held.values_list("sent_sha256", flat=True)


def _made_anew(content: bytes) -> Copy:
    """Decode and encode it: nothing that a phone sent is ever served as it came."""
    try:
        made = derive(content)
    except Refused as refused:
        raise NotAPreview(str(refused)) from refused
    if max(made.large.width, made.large.height) > MAX_EDGE:
        raise NotAPreview(f"A preview has at most {MAX_EDGE} pixels on its long edge.")
    return made.thumb


def _write(
    actor: Actor, visit: Visit, photo_id: UUID, digest: str, made: Copy, now: datetime
) -> bool:
    # The copies may have been made while this was decoded, or be made just now.
    PhotoFile.objects.select_for_update().filter(firm=actor.firm, pk=photo_id).first()
    if not _needed(visit, photo_id, digest):
        return False
    PhotoPreview.objects.update_or_create(
        pk=photo_id,
        firm=actor.firm,
        visit=visit,
        defaults={
            "by_id": actor.member_id,
            "sent_sha256": digest,
            "content": made.bytes,
            "width": made.width,
            "height": made.height,
            "got_at": now,
        },
    )
    return True
