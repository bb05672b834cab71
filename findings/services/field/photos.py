"""A picture that comes through a page: its record and its bytes, both or neither."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from findings.services.field.starting import instant
from firm import storage
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from inspections.models import Visit
from inspections.services import pages, uploads
from inspections.services.sniffing import NEEDED, media_of

NAME_LENGTH = 200


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture's bytes and what is said of it."""

    photo_id: UUID
    stop: str
    content: bytes
    name: str = ""
    about: str = ""
    use: str = ""
    caption: str = ""


def add(*, actor: Actor, visit: Visit, picture: Picture, now: datetime) -> None:
    """Store a picture as an upload of the phone would. Raises BadInput, NotAllowed.

    Storing the same one twice leaves one.
    """
    size, media = len(picture.content), media_of(picture.content[:NEEDED])
    if size > uploads.MAX_BYTES:
        most = uploads.MAX_BYTES // (1024 * 1024)
        raise BadInput(f"The picture is larger than {most} MB.", field="photo")
    if media is None:
        raise BadInput("This is not a JPEG, PNG, WebP or HEIC picture.", field="photo")
    announced = uploads.Announced(
        photo_id=picture.photo_id,
        visit_id=visit.pk,
        sha256=storage.sha256(picture.content),
        size=size,
    )
    try:
        with transaction.atomic():
            _store(actor, announced, picture, now)
            _record(actor, visit, picture, announced, media, now)
    except uploads.UploadDiffers as taken:
        raise BadInput(taken.message, field="photo") from taken


def _store(
    actor: Actor, announced: uploads.Announced, picture: Picture, now: datetime
) -> None:
    upload = uploads.create(actor=actor, announced=announced, now=now)
    if upload.stored:
        return
    done = uploads.add(
        actor=actor,
        photo_id=announced.photo_id,
        offset=upload.offset,
        piece=picture.content[upload.offset :],
        now=now,
    )
    if not done.stored:
        raise Refusal("The picture did not arrive whole. Send it again.", field="photo")


def _record(
    actor: Actor,
    visit: Visit,
    picture: Picture,
    announced: uploads.Announced,
    media: str,
    now: datetime,
) -> None:
    fields: dict[str, Any] = {
        "stop": picture.stop or None,
        "about": picture.about or None,
        "use": picture.use or "general_view",
        "sha256": announced.sha256,
        "size": announced.size,
        "media": media,
        "caption": picture.caption or None,
        "file_name": picture.name[:NAME_LENGTH] or None,
        "taken_at": instant(now),
    }
    pages.write(
        actor=actor,
        visit=visit,
        shown=visit.version,
        typed=[pages.Typed(str(picture.photo_id), "photo", fields)],
        now=now,
    )
