"""Walking a firm's releases, chains and files; the first thing that is wrong first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import msgspec

from firm import canonical, chain, storage
from firm.actor import Actor
from firm.models import AuditEntry, KnownFile
from firm.tenancy import bound
from reports.models import Artefact, Release, ReleaseEntry
from reports.rendering import reading, seal
from reports.rendering.withheld import without_names
from reports.services import seals
from reports.services.evidence import anchors, chains
from reports.services.evidence.anchors import Anchor

Deeds = Mapping[tuple[str, str], AuditEntry]


@dataclass(frozen=True, slots=True)
class Fault:
    """Something that is not as it was released: where, and what is wrong there."""

    where: str
    what: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}"


def faults(actor: Actor, kept: Sequence[Anchor] = ()) -> Iterator[Fault]:
    """Yield what is wrong in this firm's releases; nothing when all of it holds.

    kept: heads that left this installation earlier. Without them a chain that was cut
    at its end, or written anew as a whole, looks whole.
    """
    with bound(actor.firm.pk):
        yield from _chains(actor)
        yield from _anchored(actor, kept)
        yield from _releases(actor)


def _chains(actor: Actor) -> Iterator[Fault]:
    heads = {head.chain: (head.seq, head.entry) for head in chains.heads(actor)}
    for name, links in (
        ("RELEASE", chains.releases(actor)),
        ("AUDIT", chains.deeds(actor)),
    ):
        where = f"{name.lower()} chain"
        if bad := chains.first_bad(links):
            yield Fault(where, bad)
            continue
        last = (links[-1].link.seq, links[-1].stored) if links else (0, "")
        if heads.get(name, (0, "")) != last:
            yield Fault(where, f"its head is not its last link, {last[0]}")


def _anchored(actor: Actor, kept: Sequence[Anchor]) -> Iterator[Fault]:
    stored = {
        "RELEASE": {one.link.seq: one.stored for one in chains.releases(actor)},
        "AUDIT": {one.link.seq: one.stored for one in chains.deeds(actor)},
    }
    for one in anchors.of_firm(kept, actor.firm):
        found = stored[one.chain].get(one.seq, "" if one.seq == 0 else None)
        if found is None:
            what = f"link {one.seq}, known outside since {one.at}, is gone"
        elif found != one.entry:
            what = f"link {one.seq} is another than was known outside on {one.at}"
        else:
            continue
        yield Fault(f"{one.chain.lower()} chain", what)


def _releases(actor: Actor) -> Iterator[Fault]:
    entries = {
        entry.release_id: entry
        for entry in ReleaseEntry.objects.filter(firm=actor.firm)
    }
    deeds = {
        (row.event, row.subject): row
        for row in AuditEntry.objects.filter(
            firm=actor.firm, event__in=["release.frozen", "release.shown"]
        )
    }
    rows = list(Release.objects.filter(firm=actor.firm).order_by("number", "issue"))
    known = {f"release:{row.pk}" for row in rows}
    for event, subject in deeds:
        if subject not in known:
            yield Fault(subject, f"{event} is in the audit chain, the release is not")
    for row in rows:
        for what in _of_release(row, entries.get(row.pk), deeds):
            yield Fault(f"report {row.number}, issue {row.issue}", what)


def _of_release(
    row: Release, entry: ReleaseEntry | None, deeds: Deeds
) -> Iterator[str]:
    frozen = deeds.get(("release.frozen", f"release:{row.pk}"))
    if entry is None or frozen is None:
        yield "it has no place in the chain"
        return
    if entry.payload != row.snapshot_sha256:
        yield f"the row's digest is not the one of link {entry.seq}"
    if bad := _snapshot(row, frozen):
        yield bad
        return
    yield from _row(row, entry, frozen)
    yield from _files(row, deeds.get(("release.shown", f"release:{row.pk}")))


def _snapshot(row: Release, frozen: AuditEntry) -> str | None:
    """Say what is wrong with the frozen bytes, if anything is."""
    raw = bytes(row.snapshot)
    if row.erased_at is not None:
        if storage.sha256(raw) != frozen.detail["withheld_sha256"]:
            return "snapshot: it is not the released one with its names withheld"
        return None
    if storage.sha256(raw) != row.snapshot_sha256:
        return "snapshot: its bytes are not those of its digest"
    if storage.sha256(without_names(raw)) != frozen.detail["withheld_sha256"]:
        return "snapshot: without names it is not the one that was frozen"
    if canonical.digest(row.case_file) != frozen.detail["case_sha256"]:
        return "case file: it is not the one that was frozen"
    return None


def _row(row: Release, entry: ReleaseEntry, frozen: AuditEntry) -> Iterator[str]:
    """Compare what the row says with what was frozen."""
    told: dict[str, Any] = msgspec.json.decode(bytes(row.snapshot))
    before = told["replaces"] or {"issue": 0, "reason": ""}
    earlier = row.replaces.issue if row.replaces else 0
    said = {
        "number": (row.number, told["number"]),
        "number of the visit": (row.number, row.visit.number),
        "issue": (row.issue, told["issue"]),
        "issue it replaces": (earlier, before["issue"]),
        "reason": (" ".join(row.reason.split()), " ".join(before["reason"].split())),
        "place in the chain": (
            [entry.seq, entry.prev],
            [told["chain"]["seq"], told["chain"]["prev"]],
        ),
        "moment": (chain.stamp(row.frozen_at), chain.stamp(entry.at)),
        "who asked for it": (f"member:{row.asked_for_by_id}", frozen.who_id),
        "signature": (str(row.signature_id), frozen.detail["signature"]),
        "who asked": (row.asked_by, frozen.detail["asked_by"]),
        "number, frozen": (row.number, frozen.detail["number"]),
        "issue, frozen": (row.issue, frozen.detail["issue"]),
        "digest, frozen": (row.snapshot_sha256, frozen.detail["snapshot_sha256"]),
    }
    for name, (here, there) in said.items():
        if here != there:
            yield f"the row's {name} is not what was frozen"


def _files(row: Release, shown: AuditEntry | None) -> Iterator[str]:
    if (row.state == Release.State.RELEASED) != (shown is not None):
        yield "its state is not what the audit chain says"
        return
    if shown is None or row.released_at is None:
        return
    told = dict(shown.detail)
    if chain.stamp(row.released_at) != told.pop("released_at"):
        yield "its moment of release is not what the audit chain says"
    files = {file.kind: file for file in Artefact.objects.filter(release=row)}
    if {kind: file.sha256 for kind, file in files.items()} != told:
        yield "its list of files is not what the audit chain says"
    yield from _known(row, [row.snapshot_sha256, *told.values()])
    if row.erased_at is None:
        for kind, file in sorted(files.items()):
            yield from _file(kind, file)
        yield from _photos(row)


def _known(row: Release, digests: Iterable[str]) -> Iterator[str]:
    """Whoever asks at /verify must get this release for each of its files."""
    rows = KnownFile.objects.filter(firm=row.firm, release=row.pk)
    if set(digests) != set(rows.values_list("sha256", flat=True)):
        yield "the digests that anybody may ask for are not its own"


def _file(kind: str, file: Artefact) -> Iterator[str]:
    content = _stored(file.storage_key)
    if content is None:
        yield f"{kind}: the file is gone"
    elif storage.sha256(content) != file.sha256 or len(content) != file.size:
        yield f"{kind}: the file is not the one that was released"
    elif kind == Artefact.Kind.PDF:
        try:
            held = seal.read(content, seals.roots())
        except seal.BadSeal as error:
            yield f"{kind}: its seal does not hold, {error}"
        else:
            if not held.chains:
                yield f"{kind}: its seal is not one of this installation"


def _photos(row: Release) -> Iterator[str]:
    for photo in reading.from_bytes(bytes(row.snapshot)).photos:
        copies = photo.renditions
        for copy in (copies.large, copies.print, copies.thumb):
            key = f"firm/{row.firm_id}/rendition/{copy.sha256}.jpg"
            content = _stored(key)
            if content is None or storage.sha256(content) != copy.sha256:
                yield f"photo {photo.id}: a copy is gone or changed"
        key = f"firm/{row.firm_id}/original/{photo.original_sha256}"
        original = _stored(key)
        if original is None or storage.sha256(original) != photo.original_sha256:
            yield f"photo {photo.id}: the original is gone or changed"


def _stored(key: str) -> bytes | None:
    return storage.get(key) if storage.has(key) else None
