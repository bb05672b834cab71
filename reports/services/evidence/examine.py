"""One file held against the records: which release it is, and whether it is whole."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from firm import storage
from firm.actor import Actor
from firm.models import KnownFile
from firm.tenancy import bound
from reports.models import Release
from reports.rendering import seal
from reports.services import seals
from reports.services.evidence import walk

LARGEST_MEMBER = 200 * 1024**2
BUNDLED = {"report.pdf", "report.html", "gallery.html", "snapshot.json"}


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is known of a file; genuine only when nothing stands against it."""

    name: str
    said: tuple[str, ...]
    against: tuple[str, ...]

    @property
    def genuine(self) -> bool:
        return not self.against


def examine(name: str, content: bytes) -> list[Verdict]:
    """Examine a PDF, a page, a snapshot, or every released file of a bundle."""
    if content.startswith(b"PK\x03\x04"):
        return _bundle(name, content)
    return [_file(name, content)]


def _bundle(name: str, content: bytes) -> list[Verdict]:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            inside = [
                one
                for one in packed.infolist()
                if one.filename.rpartition("/")[2] in BUNDLED
            ]
            if any(one.file_size > LARGEST_MEMBER for one in inside):
                return [Verdict(name, (), ("a file in it is too large",))]
            found = [_file(one.filename, packed.read(one)) for one in inside]
    except (zipfile.BadZipFile, OSError) as error:
        return [Verdict(name, (), (f"it cannot be unpacked: {error}",))]
    return found or [Verdict(name, (), ("it holds no released file",))]


def _file(name: str, content: bytes) -> Verdict:
    digest = storage.sha256(content)
    known = KnownFile.objects.select_related("firm").filter(sha256=digest).first()
    if known is None:
        return Verdict(
            name, (), ("not released here, or changed since", *_seal(content))
        )
    actor = Actor.system(known.firm)
    with bound(known.firm_id):
        row = Release.objects.select_related("visit").get(pk=known.release)
        newest = row.visit.releases.filter(state=Release.State.RELEASED)
        said = _said(row, max(newest.values_list("issue", flat=True), default=0))
    mine = f"report {row.number}, issue {row.issue}"
    against = [
        str(fault)
        for fault in walk.faults(actor)
        if fault.where == mine or fault.where.endswith("chain")
    ]
    return Verdict(name, tuple(said), (*against, *_seal(content)))


def _said(row: Release, newest: int) -> Iterator[str]:
    yield f"report {row.number}, issue {row.issue} of {row.firm.name}"
    if isinstance(row.released_at, datetime):
        yield f"released {row.released_at:%Y-%m-%d %H:%M} UTC"
    yield "the newest issue" if row.issue == newest else f"replaced by issue {newest}"


def _seal(content: bytes) -> list[str]:
    """Say what is wrong with a PDF's seal; nothing of any other kind of file."""
    if not content.startswith(b"%PDF-"):
        return []
    try:
        held = seal.read(content, seals.roots())
    except seal.BadSeal as error:
        return [f"its seal does not hold: {error}"]
    return [] if held.chains else ["its seal is not one of this installation"]
