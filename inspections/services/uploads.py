"""Taking in the bytes of photos: piece by piece, checked whole, stored once."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from django.db import IntegrityError, connection, transaction

from firm import jobs, storage
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from firm.tenancy import bound
from inspections.access import photo_to_send, visit_to_record
from inspections.models import PhotoFile
from inspections.services import parts
from inspections.services.sniffing import NEEDED, media_of

MAX_BYTES: Final = 40 * 1024 * 1024
LASTS: Final = timedelta(days=30)
State = PhotoFile.State


class UploadDiffers(Refusal):
    """This photo was announced before with another size, digest or visit."""

    code = "upload-differs"


class WrongOffset(Refusal):
    """The piece does not begin where the bytes held here end."""

    code = "wrong-offset"


class PieceTooLong(Refusal):
    """The piece goes past the size that was announced."""

    code = "past-the-end"
    status = 413


class DigestMismatch(Refusal):
    """The bytes are not those that were announced; begin again."""

    code = "digest-mismatch"
    status = 460


class NotAPicture(Refusal):
    """The bytes do not begin as a JPEG, PNG, WebP or HEIC picture."""

    code = "not-a-picture"
    status = 415


class UploadEnded(Refusal):
    """The upload was ended or ran out; create it anew."""

    code = "upload-ended"
    status = 410


class UploadFinished(Refusal):
    """The photo is stored; only what is unfinished can be ended."""

    code = "upload-finished"


@dataclass(frozen=True, slots=True)
class Upload:
    """Where an upload stands."""

    id: UUID
    offset: int
    size: int
    expires_at: datetime
    stored: bool


@dataclass(frozen=True, slots=True)
class Announced:
    """What a device says of a photo before it sends the bytes."""

    photo_id: UUID
    visit_id: UUID
    sha256: str
    size: int
    of: UUID | None = None  # the photo whose original this is


def create(*, actor: Actor, announced: Announced, now: datetime) -> Upload:
    """Open an upload, or find it open: asking twice gives one.

    Bytes that the firm holds already need not be sent. Raises Http404, NotAllowed,
    BadInput and UploadDiffers.
    """
    if not 1 <= announced.size <= MAX_BYTES:
        raise BadInput(
            f"Upload-Length: must be from 1 to {MAX_BYTES}.", field="Upload-Length"
        )
    try:
        return _create(actor, announced, now)
    except IntegrityError:
        pass
    try:
        # Another request for the same photo was quicker: this finds what it made.
        return _create(actor, announced, now)
    except IntegrityError as taken:
        raise UploadDiffers("This photo id is not free.") from taken


def state(*, actor: Actor, photo_id: UUID, now: datetime) -> Upload:
    """Say how many bytes are here. Raises Http404, NotAllowed, UploadEnded."""
    photo = photo_to_send(actor, photo_id)
    _require_open(photo, now)
    return _upload(photo)


def add(
    *, actor: Actor, photo_id: UUID, offset: int, piece: bytes, now: datetime
) -> Upload:
    """Add a piece that was read in full; the last one stores the photo.

    Raises WrongOffset, PieceTooLong, UploadEnded; DigestMismatch and NotAPicture when
    the whole turns out not to be what was announced: then it begins at 0 again.
    """
    with bound(actor.firm.pk):
        photo = _locked(actor, photo_id)
        _require_open(photo, now)
        refusal = _add(actor, photo, offset, piece, now)
    # Raised out here, so that the return to 0 is committed.
    if refusal is not None:
        raise refusal
    return _upload(photo)


def end(*, actor: Actor, photo_id: UUID, now: datetime) -> None:
    """Give up an unfinished upload. Raises UploadFinished, UploadEnded."""
    with bound(actor.firm.pk):
        photo = _locked(actor, photo_id)
        _require_open(photo, now)
        if photo.state == State.STORED:
            raise UploadFinished("The photo is stored; it cannot be ended.")
        _drop(photo)


def drop_expired(*, actor: Actor, now: datetime) -> int:
    """Let go of the bytes of uploads that ran out; return how many."""
    with bound(actor.firm.pk):
        expired = PhotoFile.objects.select_for_update().filter(
            firm=actor.firm, state=State.RECEIVING, expires_at__lte=now
        )
        for photo in expired:
            _drop(photo)
        return len(expired)


def _create(actor: Actor, announced: Announced, now: datetime) -> Upload:
    with bound(actor.firm.pk):
        visit = visit_to_record(actor, announced.visit_id)
        held = (
            PhotoFile.objects.select_for_update()
            .filter(firm=actor.firm, pk=announced.photo_id)
            .first()
        )
        photo = held or PhotoFile(
            pk=announced.photo_id,
            firm=actor.firm,
            visit=visit,
            by_id=actor.member_id,
        )
        if held is None or _has_ended(held, now):
            if photo.visit_id != visit.pk:
                raise UploadDiffers("This photo belongs to another visit.")
            _open(actor, photo, announced, now)
        elif (held.visit_id, held.sha256, held.size, held.original_of) != (
            visit.pk,
            announced.sha256,
            announced.size,
            announced.of,
        ):
            raise UploadDiffers(
                "This photo was announced with another size, digest or visit."
            )
        return _upload(photo)


def _open(actor: Actor, photo: PhotoFile, announced: Announced, now: datetime) -> None:
    photo.sha256, photo.size = announced.sha256, announced.size
    photo.original_of = announced.of
    photo.state, photo.offset = State.RECEIVING, 0
    photo.expires_at = now + LASTS
    twin = PhotoFile.objects.filter(
        firm=actor.firm, sha256=photo.sha256, size=photo.size, state=State.STORED
    ).first()
    # Only ever inside the firm: it would tell that somebody else has the file.
    known = twin is not None and storage.has(photo.storage_key)
    photo.save(force_insert=photo._state.adding)  # noqa: SLF001
    # Whoever makes use of the room sees to it, once a day, that it is given back.
    jobs.enqueue(
        actor=actor,
        task="inspections.drop_expired_uploads",
        key=now.date().isoformat(),
    )
    if known and twin is not None:
        _mark_stored(actor, photo, twin.media, now)


def _locked(actor: Actor, photo_id: UUID) -> PhotoFile:
    photo_to_send(actor, photo_id)
    photo: PhotoFile = PhotoFile.objects.select_for_update().get(
        firm=actor.firm, pk=photo_id
    )
    return photo


def _add(
    actor: Actor, photo: PhotoFile, offset: int, piece: bytes, now: datetime
) -> Refusal | None:
    here = _offset(photo)
    if offset != here:
        return WrongOffset(f"The next byte wanted is {here}.")
    if offset + len(piece) > photo.size:
        return PieceTooLong(f"Only {photo.size - offset} bytes are missing.")
    if photo.state == State.STORED:
        return None
    parts.append(photo, offset, piece)
    photo.offset = offset + len(piece)
    photo.expires_at = now + LASTS
    if photo.offset == photo.size:
        return _finish(actor, photo, now)
    photo.save(update_fields=["offset", "expires_at"])
    return None


def _finish(actor: Actor, photo: PhotoFile, now: datetime) -> Refusal | None:
    whole = parts.read(photo)
    if hashlib.sha256(whole).hexdigest() != photo.sha256:
        photo.mismatches += 1
        _begin_again(photo)
        return DigestMismatch(
            "The bytes that arrived are not those that were announced. "
            "Send the photo again from the beginning."
        )
    media = media_of(whole[:NEEDED])
    if media is None:
        _begin_again(photo)
        return NotAPicture("This is not a JPEG, PNG, WebP or HEIC picture.")
    with connection.cursor() as cursor:
        # Two photos with the same bytes must not write the same file at once.
        cursor.execute(
            "select pg_advisory_xact_lock(hashtextextended(%s, 0))",
            [photo.storage_key],
        )
    storage.put(photo.storage_key, whole)
    _mark_stored(actor, photo, media, now)
    return None


def _mark_stored(actor: Actor, photo: PhotoFile, media: str, now: datetime) -> None:
    photo.state, photo.offset = State.STORED, photo.size
    photo.media, photo.stored_at = media, now
    photo.save()
    transaction.on_commit(lambda: parts.drop(photo))
    if photo.original_of is not None:
        return
    jobs.enqueue(
        actor=actor,
        task="findings.make_renditions",
        key=str(photo.pk),
        photo_id=str(photo.pk),
    )


def _begin_again(photo: PhotoFile) -> None:
    photo.offset = 0
    photo.save(update_fields=["offset", "mismatches", "expires_at"])
    parts.drop(photo)


def _drop(photo: PhotoFile) -> None:
    photo.state, photo.offset = State.DROPPED, 0
    photo.save(update_fields=["state", "offset"])
    transaction.on_commit(lambda: parts.drop(photo))


def _has_ended(photo: PhotoFile, now: datetime) -> bool:
    ran_out = photo.state == State.RECEIVING and photo.expires_at <= now
    return ran_out or photo.state == State.DROPPED


def _require_open(photo: PhotoFile, now: datetime) -> None:
    if _has_ended(photo, now):
        raise UploadEnded("This upload has ended. Create it again to send the photo.")


def _offset(photo: PhotoFile) -> int:
    if photo.state == State.STORED:
        return photo.size
    return min(photo.offset, parts.length(photo))


def _upload(photo: PhotoFile) -> Upload:
    return Upload(
        id=photo.pk,
        offset=_offset(photo),
        size=photo.size,
        expires_at=photo.expires_at,
        stored=photo.state == State.STORED,
    )
