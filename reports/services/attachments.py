"""Papers from outside: taken in as opaque bytes, hashed, handed out as downloads."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from datetime import datetime
from pathlib import PurePosixPath
from typing import Any, Final

from django.db import IntegrityError, transaction
from django.http import Http404

from firm import audit, scanning, storage
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from inspections.models import Visit
from reports.models import Attachment, Release
from reports.services.files import StoredFile
from reports.services.told import snapshot_of

LARGEST: Final = 25 * 1024 * 1024
UNSOUND: Final = re.compile(r"[^\w .()-]+")


class UnableToAttach(Refusal):
    """The file is known already, too large, empty, or the scanner objects."""

    code = "unable-to-attach"


def attach(
    *,
    actor: Actor,
    visit: Visit,
    file_name: str,
    content: bytes,
    said: Mapping[str, Any],
    now: datetime,
) -> Attachment:
    """Take a paper in; nothing here looks inside it.

    Where a scanner is set up it is asked first, and a scanner that does not answer
    holds the file back.
    """
    actor.require("papers.add")
    if not content:
        raise BadInput("The file is empty.", field="file")
    if len(content) > LARGEST:
        raise BadInput("The file is larger than 25 MB.", field="file")
    verdict = _scanned(content)
    digest = storage.sha256(content)
    storage.put(f"firm/{actor.firm.pk}/attachment/{digest}", content)
    row = Attachment(
        firm=actor.firm,
        visit=visit,
        title=said["title"],
        file_name=sound_name(file_name),
        author=said["author"],
        licence=said.get("licence", ""),
        sha256=digest,
        size=len(content),
        scan=verdict,
        added_by_id=actor.member_id,
        added_at=now,
    )
    _write(actor, row)
    return row


def _write(actor: Actor, row: Attachment) -> None:
    try:
        with transaction.atomic():
            row.save(force_insert=True)
            audit.record(
                actor=actor,
                event="paper.added",
                subject=f"visit:{row.visit_id}",
                detail={
                    "sha256": row.sha256,
                    "title": row.title,
                    "author": row.author,
                },
            )
    except IntegrityError as twice:
        if "attachment_once_per_visit" not in str(twice):
            raise
        raise UnableToAttach("This very file is with the visit already.") from twice


def listed(release: Release, sha256: str) -> tuple[StoredFile, str]:
    """Return a paper that this very release lists, and the name to save it by."""
    for one in snapshot_of(release).attachments:
        if one.sha256 == sha256:
            key = f"firm/{release.firm_id}/attachment/{sha256}"
            return StoredFile(storage.get(key), sha256), one.file_name
    raise Http404


def sound_name(name: str) -> str:
    """Return the file's own name without anything that a path or header minds."""
    last = PurePosixPath(name.replace("\\", "/")).name
    plain = unicodedata.normalize("NFKD", last).encode("ascii", "ignore").decode()
    sound = " ".join(UNSOUND.sub(" ", plain).split()).strip(" .")
    stem, dot, ending = sound.rpartition(".")
    return (f"{stem[:100]}.{ending[:15]}" if dot else sound[:115]) or "paper"


def _scanned(content: bytes) -> str:
    try:
        clean = scanning.is_clean(content)
    except scanning.ScannerDown as down:
        raise UnableToAttach(
            "The virus scanner does not answer, so the file was not taken. Try again."
        ) from down
    if clean is None:
        return Attachment.Scan.NONE
    if not clean:
        raise UnableToAttach("The virus scanner objects to this file.")
    return Attachment.Scan.CLEAN
