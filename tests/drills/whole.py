"""What a release may look like at any moment: not there, or there as a whole."""

from __future__ import annotations

from firm import storage
from firm.actor import Actor
from firm.models import KnownFile
from inspections.models import Visit
from reports.models import Artefact, Release, ReleaseEntry
from reports.selectors.verification import known
from reports.services.evidence import walk

WHOLE = {"pdf", "web", "gallery"}


def torn(actor: Actor, visit: Visit, *, done: bool) -> list[str]:
    """Return what is half or double among a visit's issues; the firm is bound.

    done: the work on them has ended, so that each has to be there as a whole.
    """
    rows = list(Release.objects.filter(visit=visit).order_by("issue"))
    found = [str(fault) for fault in walk.faults(actor)]
    if [row.issue for row in rows] != list(range(1, len(rows) + 1)):
        found.append(f"issues {[row.issue for row in rows]}")
    for row in rows:
        found += [f"issue {row.issue}: {what}" for what in _of(row)]
        if done and row.state != Release.State.RELEASED:
            found.append(f"issue {row.issue} is still {row.state}")
    return found


def _of(row: Release) -> list[str]:
    files = list(Artefact.objects.filter(release=row))
    told = KnownFile.objects.filter(release=row.pk)
    found = []
    if ReleaseEntry.objects.filter(release=row).count() != 1:
        found.append("not once in the chain")
    if row.state == Release.State.RELEASED:
        if {file.kind for file in files} != WHOLE or len(files) != len(WHOLE):
            found.append(f"released with {[file.kind for file in files]}")
        if told.count() != len(WHOLE) + 1:
            found.append("released, and not every file of it can be asked for")
    elif told.exists() or known(row.snapshot_sha256):
        found.append("not released, and it can be asked for already")
    found += [
        f"{file.kind} has a row and no whole file"
        for file in files
        if not storage.has(file.storage_key)
        or storage.sha256(storage.get(file.storage_key)) != file.sha256
    ]
    return found
