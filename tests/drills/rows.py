"""Tamperings with rows: one field, two swapped, one gone, a chain written anew."""

from __future__ import annotations

import json
import random
from datetime import datetime, timedelta
from typing import Any, Final

from django.db import models

from firm import audit, canonical, chain
from firm.models import AuditEntry, ChainHead, KnownFile
from firm.storage import sha256
from reports.models import Artefact, Release, ReleaseEntry, SealRoot
from reports.rendering import certificates
from reports.rendering.withheld import without_names
from tests.drills.world import World

# What was done, and words of which one has to be in the first thing that is named.
Done = tuple[str, tuple[str, ...]]

FIELDS: Final[dict[type[models.Model], tuple[str, ...]]] = {
    Release: (
        "snapshot",
        "snapshot_sha256",
        "number",
        "issue",
        "reason",
        "asked_by",
        "frozen_at",
        "released_at",
        "erased_at",
        "case_file",
        "asked_for_by_id",
        "state",
    ),
    ReleaseEntry: ("seq", "at", "payload", "prev", "entry"),
    # When a file was made is told nowhere and nothing rests on it.
    Artefact: ("sha256", "size", "kind"),
    AuditEntry: (
        *("seq", "at", "who", "who_id", "event", "subject", "detail", "prev"),
        "entry",
    ),
    ChainHead: ("seq", "entry"),
    KnownFile: ("sha256", "release"),
}
TOLD_AS: Final = {
    Release: ("report ", "chain"),
    ReleaseEntry: ("release chain",),
    Artefact: ("files", "file"),
    AuditEntry: ("audit chain",),
    ChainHead: ("chain: its head",),
    KnownFile: ("anybody may ask", "its own"),
}


def one_field(world: World, chance: random.Random) -> Done:
    """Change one field of one row a little."""
    model = chance.choice(list(FIELDS))
    name = chance.choice(FIELDS[model])
    row = chance.choice(list(model._default_manager.all()))
    old = getattr(row, name)
    new = _other(world, name, old, chance)
    model._default_manager.filter(pk=row.pk).update(**{name: new})
    return f"{model.__name__}.{name}", TOLD_AS[model]


def _other(world: World, name: str, old: Any, chance: random.Random) -> Any:
    if name == "state":
        return Release.State.FAILED
    if name == "kind":
        return "other"
    if name == "erased_at":
        return datetime.fromisoformat("2026-11-25T00:00:00+00:00")
    if name == "asked_for_by_id":
        return world.cast.owner.member.pk
    if name == "release":
        return chance.choice([r.pk for r in world.releases if r.pk != old])
    return _changed(old, chance)


def _changed(old: Any, chance: random.Random) -> Any:
    if isinstance(old, bytes | memoryview):
        return flipped(bytes(old), chance)
    if isinstance(old, datetime):
        return old + timedelta(microseconds=chance.randrange(1, 10**9))
    if isinstance(old, bool | dict):
        return json.loads(json.dumps(old)) | {"more": chance.randrange(9)}
    if isinstance(old, int):
        return old + chance.randrange(100, 10_000)
    return _letter(str(old), chance)


def _letter(old: str, chance: random.Random) -> str:
    if not old:
        return "a"
    at = chance.randrange(len(old))
    return (
        old[:at] + chance.choice([c for c in "abcdef" if c != old[at]]) + old[at + 1 :]
    )


def flipped(content: bytes, chance: random.Random) -> bytes:
    """Return the bytes with one bit changed."""
    changed = bytearray(content)
    changed[chance.randrange(len(changed))] ^= 1 << chance.randrange(8)
    return bytes(changed)


def two_swapped(_world: World, chance: random.Random) -> Done:
    """Let two links of a chain change places."""
    model, told = chance.choice(_CHAINS)
    one, other = chance.sample(list(model._default_manager.all()), 2)
    seqs = one.seq, other.seq
    model._default_manager.filter(pk=one.pk).update(seq=10**6)
    model._default_manager.filter(pk=other.pk).update(seq=seqs[0])
    model._default_manager.filter(pk=one.pk).update(seq=seqs[1])
    return f"two of {model.__name__} swapped", (told,)


def one_gone(_world: World, chance: random.Random) -> Done:
    """Take one link out, not the last."""
    model, told = chance.choice(_CHAINS)
    row = chance.choice(list(model._default_manager.order_by("seq"))[:-1])
    model._default_manager.filter(pk=row.pk).delete()
    return f"one of {model.__name__} gone", (told,)


def tail_gone(_world: World, chance: random.Random) -> Done:
    """Cut the end off, and set the head back so that the rest looks whole."""
    model, told = chance.choice(_CHAINS)
    rows = list(model._default_manager.order_by("seq"))
    keep = chance.randrange(1, len(rows))
    model._default_manager.filter(seq__gt=rows[keep - 1].seq).delete()
    name = "RELEASE" if model is ReleaseEntry else "AUDIT"
    ChainHead.objects.filter(chain=name).update(
        seq=rows[keep - 1].seq, entry=rows[keep - 1].entry
    )
    return f"end of {model.__name__} cut off", (told, "is gone")


def written_anew(world: World, chance: random.Random) -> Done:
    """Change a report and write both chains anew, so that every link fits again."""
    row = chance.choice(world.releases)
    told = json.loads(bytes(row.snapshot))
    told["firm"]["phone"] = f"919-555-{chance.randrange(10**4):04}"
    raw = canonical.encode(told)
    digest = sha256(raw)
    Release.objects.filter(pk=row.pk).update(snapshot=raw, snapshot_sha256=digest)
    ReleaseEntry.objects.filter(release=row).update(payload=digest)
    KnownFile.objects.filter(sha256=row.snapshot_sha256).update(sha256=digest)
    frozen = AuditEntry.objects.get(event="release.frozen", subject=f"release:{row.pk}")
    detail = frozen.detail | {
        "snapshot_sha256": digest,
        "withheld_sha256": sha256(without_names(raw)),
    }
    AuditEntry.objects.filter(pk=frozen.pk).update(detail=detail)
    _seal_again(world)
    return "both chains written anew", ("is another than was known outside",)


def _seal_again(world: World) -> None:
    firm = str(world.cast.northside.pk)
    prev = ""
    for entry in ReleaseEntry.objects.order_by("seq"):
        at = chain.stamp(entry.at)
        link = chain.Link(entry.seq, firm, "release", at, entry.payload, prev)
        ReleaseEntry.objects.filter(pk=entry.pk).update(prev=prev, entry=link.entry)
        prev = link.entry
    ChainHead.objects.filter(chain="RELEASE").update(entry=prev)
    prev = ""
    for row in AuditEntry.objects.order_by("seq"):
        payload = canonical.digest(audit.payload_of(row))
        at = chain.stamp(row.at)
        link = chain.Link(row.seq, firm, "audit", at, payload, prev)
        AuditEntry.objects.filter(pk=row.pk).update(prev=prev, entry=link.entry)
        prev = link.entry
    ChainHead.objects.filter(chain="AUDIT").update(entry=prev)


def another_root(world: World, _chance: random.Random) -> Done:
    """Put another root in the place of the one that all seals hang under."""
    kept = SealRoot.objects.get()
    made = certificates.root("Reports of us", secret="x" * 20, now=kept.made_at)
    SealRoot.objects.update(certificate=made.certificate, key=made.key)
    return "another root", ("seal",)


_CHAINS: Final[tuple[tuple[Any, str], ...]] = (
    (ReleaseEntry, "release chain"),
    (AuditEntry, "audit chain"),
)
