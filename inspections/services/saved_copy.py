"""A phone's saved copy, brought in by the office: opened, checked, taken as a push.

The format stands at the head of static/js/field/core/saved_copy.js. Entries keep
their ids, numbers and device, so that the phone may still send the same later: nothing
is doubled. They count as the person's who entered them; the audit says who brought
them in.
"""

from __future__ import annotations

import json
import struct
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from typing import Any, Final
from uuid import UUID

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.pbkdf2 import PBKDF2HMAC

from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from firm.models import Membership
from inspections.models import Visit
from inspections.selectors.recorders import recorders
from inspections.services import log, uploads

MAGIC: Final = b"KPC1"
HEAD: Final = struct.Struct(">4s16sI12s")
MOST_ROUNDS: Final = 5_000_000  # a made-up file must not keep a server busy for hours
BATCH: Final = 100
PIECE: Final = 512 * 1024


class UnableToBringIn(Refusal):
    """The copy belongs to another visit, or to nobody who records on this one."""

    code = "unable-to-bring-in"


@dataclass(frozen=True, slots=True)
class BroughtIn:
    """What a copy held, and how much of it was new."""

    entries: int
    fresh: int
    apart: int
    photos: int


def bring_in(
    *, actor: Actor, visit: Visit, data: bytes, words: str, now: datetime
) -> BroughtIn:
    """Open a copy and take what it holds.

    Raises BadInput, UnableToBringIn and NotAllowed.
    """
    actor.require("visits.see_all_contents")
    copy = opened(data, words)
    told = _told(copy)
    if told.get("visit") != str(visit.pk):
        raise UnableToBringIn("This copy is of another visit. Open that visit first.")
    recorder = _recorder(visit, str(told.get("user")))
    fresh, apart = _entries(recorder, visit, told, now)
    photos = _photos(recorder, visit, copy, told, now)
    found = BroughtIn(len(told["entries"]), fresh, apart, photos)
    audit.record(
        actor=actor,
        event="copy.brought_in",
        subject=f"visit:{visit.pk}",
        detail={"entries": found.entries, "fresh": fresh, "photos": photos},
    )
    return found


def opened(data: bytes, words: str) -> zipfile.ZipFile:
    """Decrypt a copy. Raises BadInput that says what to do."""
    if len(data) < HEAD.size or not data.startswith(MAGIC):
        raise BadInput("This is not a saved copy of a phone.", field="file")
    _, salt, rounds, nonce = HEAD.unpack_from(data)
    if not 1 <= rounds <= MOST_ROUNDS:
        raise BadInput("This is not a saved copy of a phone.", field="file")
    key = PBKDF2HMAC(hashes.SHA256(), 32, salt, rounds).derive(words.encode())
    try:
        plain = AESGCM(key).decrypt(nonce, data[HEAD.size :], data[: HEAD.size])
        return zipfile.ZipFile(BytesIO(plain))
    except InvalidTag as error:
        raise BadInput(
            "These words do not open it, or the file was changed on its way."
            " Check the words, then fetch the file from the phone once more.",
            field="words",
        ) from error
    except zipfile.BadZipFile as error:
        raise BadInput("The copy is damaged inside.", field="file") from error


def _told(copy: zipfile.ZipFile) -> dict[str, Any]:
    try:
        told = json.loads(copy.read("copy.json"))
    except (KeyError, ValueError, zipfile.BadZipFile) as error:
        raise BadInput("The copy is damaged inside.", field="file") from error
    if not isinstance(told, dict) or told.get("format") != 1:
        raise BadInput("The copy was made by another version of the app.", field="file")
    if not isinstance(told.get("entries"), list):
        raise BadInput("The copy is damaged inside.", field="file")
    return told


def _recorder(visit: Visit, user: str) -> Actor:
    """Return who entered it, if they record on this visit."""
    there = [one.member for one in recorders(visit) if str(one.user) == user]
    member = (
        Membership.objects.filter(firm=visit.firm_id, pk__in=there)
        .select_related("firm", "user")
        .first()
    )
    if member is None:
        raise UnableToBringIn(
            "Whoever entered this does not record on this visit."
            " Give the visit to that person first, or name them beside the inspector."
        )
    return Actor.member(member.firm, member)


def _entries(
    recorder: Actor, visit: Visit, told: dict[str, Any], now: datetime
) -> tuple[int, int]:
    """Push the entries as their device would; return how many were new, and apart."""
    fresh = apart = 0
    for batch in _batches(sorted(told["entries"], key=lambda one: one["seq"])):
        answer = log.push(
            actor=recorder,
            visit_id=visit.pk,
            device=UUID(str(told["device"])),
            client=str(told.get("client") or "")[:40],
            now=None,
            mutations=batch,
            received_at=now,
        )
        fresh += sum(one.s == "ok" for one in answer.results)
        apart += sum(one.s in ("quarantined", "reused") for one in answer.results)
        if any(one.s in ("gap", "fork") for one in answer.results):
            raise UnableToBringIn(
                "The numbering of this copy does not fit what the server has of this"
                " phone. Let the phone itself send, or ask for help with this file."
            )
    return fresh, apart


def _batches(entries: list[Any]) -> Iterator[list[Any]]:
    for at in range(0, len(entries), BATCH):
        yield entries[at : at + BATCH]


def _photos(
    recorder: Actor,
    visit: Visit,
    copy: zipfile.ZipFile,
    told: dict[str, Any],
    now: datetime,
) -> int:
    stored = 0
    for one in told.get("photos") or ():
        photo = UUID(str(one["id"]))
        data = copy.read(f"photos/{photo}")
        of = UUID(str(one["of"])) if one.get("of") else None
        announced = uploads.Announced(
            photo, visit.pk, str(one["sha256"]), len(data), of
        )
        upload = uploads.create(actor=recorder, announced=announced, now=now)
        for offset in range(upload.offset, len(data), PIECE):
            piece = data[offset : offset + PIECE]
            uploads.add(
                actor=recorder, photo_id=photo, offset=offset, piece=piece, now=now
            )
        stored += 1
    return stored
