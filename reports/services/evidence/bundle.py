"""The bundle of evidence: all issues of a visit's report, and what proves them."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from django.template.loader import render_to_string

from firm import audit, canonical, chain, storage
from firm.actor import Actor
from firm.errors import Refusal
from firm.models import AuditEntry
from inspections.models import Visit
from reports.models import Release
from reports.rendering import reading
from reports.services import seals
from reports.services.evidence import anchors, chains

CHECKER: Final = Path(__file__).with_name("check.py")
FILES: Final = {"pdf": "report.pdf", "web": "report.html", "gallery": "gallery.html"}


class UnableToBundle(Refusal):
    """There is nothing released to prove, or its names were withheld."""

    code = "unable-to-bundle"


def build(*, actor: Actor, visit: Visit, now: datetime) -> bytes:
    """Return a ZIP that an outsider checks without us. Raises UnableToBundle."""
    actor.require("reports.release")
    rows = list(
        Release.objects.filter(
            firm=actor.firm, visit=visit, state=Release.State.RELEASED
        ).order_by("issue")
    )
    if not rows:
        raise UnableToBundle("Nothing of this visit has been released yet.")
    if any(row.erased_at for row in rows):
        raise UnableToBundle("The names of this report were withheld; its files went.")
    files = _contents(actor, rows, now)
    manifest = _manifest(rows, files)
    files["manifest.json"] = manifest
    files["manifest.sig"] = seals.over(actor=actor, content=manifest)
    audit.record(
        actor=actor,
        event="evidence.bundled",
        subject=f"visit:{visit.pk}",
        detail={"manifest_sha256": storage.sha256(manifest)},
    )
    return _zipped(files, now)


def _contents(actor: Actor, rows: list[Release], now: datetime) -> dict[str, bytes]:
    files: dict[str, bytes] = {
        "check.py": CHECKER.read_bytes(),
        "root.pem": seals.root_pem().encode(),
        "seal.pem": seals.current_pem(actor=actor).encode(),
        "chain.json": _json({"links": _links(actor)}),
        "anchors.jsonl": anchors.written(anchors.now_held(actor, now)).encode(),
    }
    for row in rows:
        files |= _issue(actor, row)
    values = {"number": rows[0].number, "root": seals.root_fingerprint()}
    values["count"] = str(len(rows))
    files["README.txt"] = render_to_string(
        "reports/evidence/readme.txt", values
    ).encode()
    return files


def _issue(actor: Actor, row: Release) -> dict[str, bytes]:
    raw, folder = bytes(row.snapshot), f"issue-{row.issue}"
    files = {f"{folder}/snapshot.json": raw, f"{folder}/record.json": _record(row)}
    for file in row.artefacts.all():
        files[f"{folder}/{FILES[file.kind]}"] = storage.get(file.storage_key)
    for photo in reading.from_bytes(raw).photos:
        sha = photo.renditions.large.sha256
        key = f"firm/{actor.firm.pk}/rendition/{sha}.jpg"
        files[f"photos/{sha}.jpg"] = storage.get(key)
    return files


def _links(actor: Actor) -> list[dict[str, Any]]:
    """Return the chain of releases: digests and times, nothing about anybody."""
    return [_plain(told) for told in chains.releases(actor)]


def _record(row: Release) -> bytes:
    """Return the entry that names the files of an issue, as it was hashed."""
    deed = AuditEntry.objects.get(
        firm=row.firm, event="release.shown", subject=f"release:{row.pk}"
    )
    told = _plain(chains.deed(deed))
    told.pop("payload_hash")
    return _json(told | {"payload": audit.payload_of(deed)})


def _plain(told: chains.Told) -> dict[str, Any]:
    link: chain.Link = told.link
    return {
        "seq": link.seq,
        "firm": link.firm,
        "kind": link.kind,
        "time": link.at,
        "payload_hash": link.payload,
        "prev": link.prev,
        "entry": told.stored,
    }


def _manifest(rows: list[Release], files: Mapping[str, bytes]) -> bytes:
    return canonical.encode(
        {
            "number": rows[0].number,
            "issues": [row.issue for row in rows],
            "files": {name: storage.sha256(content) for name, content in files.items()},
        }
    )


def _json(value: Any) -> bytes:
    return json.dumps(value, indent=1, ensure_ascii=False, sort_keys=True).encode()


def _zipped(files: Mapping[str, bytes], now: datetime) -> bytes:
    out, at = io.BytesIO(), now.timetuple()[:6]
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name in sorted(files):
            packed.writestr(zipfile.ZipInfo(name, at), files[name])
    return out.getvalue()
