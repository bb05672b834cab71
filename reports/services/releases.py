"""Releasing a report: freeze, make the files, show it in one step."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from findings.models import SignOff
from firm import audit, canonical, chain, jobs, storage
from firm.actor import Actor
from firm.errors import BadInput, NotAllowed, Refusal
from firm.models import ChainHead, Job, KnownFile
from firm.tenancy import bound
from inspections.models import Visit
from inspections.services import visits
from reports.models import Artefact, Release, ReleaseEntry
from reports.rendering import canonical as canonical_snapshot
from reports.rendering import child, gallery, reading, web
from reports.rendering.links import file_links, gallery_links
from reports.rendering.withheld import without_names
from reports.selectors.gate import blockers
from reports.services import after_release, seals
from reports.services.snapshot.build import IssueIn, build
from reports.services.snapshot.case import case_file
from reports.services.snapshot.changes import replaced

Assets = Mapping[str, bytes]
TASK = "reports.make_artefacts"


class UnableToRelease(Refusal):
    """Something still stands against the release; each is listed."""

    code = "unable-to-release"


@dataclass(frozen=True, slots=True)
class Correction:
    """Why there is a further issue, and who asked for it."""

    reason: str
    asked_by: str


@transaction.atomic
def release(
    *, actor: Actor, visit: Visit, now: datetime, correction: Correction | None = None
) -> Release:
    """Freeze what was signed as the next issue and have its files made.

    Raises UnableToRelease naming everything that stands against it.
    """
    actor.require("reports.release")
    visit = (
        Visit.objects.select_for_update(of=("self",))
        .select_related("property", "inspector")
        .get(pk=visit.pk)
    )
    if found := blockers(actor, visit):
        raise UnableToRelease(
            "The report cannot be released yet.", details=[b.text for b in found]
        )
    earlier = visit.releases.order_by("-issue").first()
    if earlier is not None and (correction is None or not correction.reason.strip()):
        raise BadInput("Say what the correction changes and why.", field="reason")
    row = _freeze(actor, visit, now, earlier, correction)
    jobs.enqueue(actor=actor, task=TASK, key=str(row.pk), release_id=str(row.pk))
    audit.record(
        actor=actor,
        event="release.frozen",
        subject=f"release:{row.pk}",
        detail={
            "number": row.number,
            "issue": row.issue,
            "snapshot_sha256": row.snapshot_sha256,
            "withheld_sha256": storage.sha256(without_names(bytes(row.snapshot))),
            "case_sha256": canonical.digest(row.case_file),
            "signature": str(row.signature_id),
            "asked_by": row.asked_by,
        },
    )
    return row


def _freeze(
    actor: Actor,
    visit: Visit,
    now: datetime,
    earlier: Release | None,
    correction: Correction | None,
) -> Release:
    """Write the snapshot and its place in the firm's chain; both stand from now on."""
    issue = (earlier.issue if earlier else 0) + 1
    snapshot = _snapshot(actor, visit, now, issue, earlier, correction)
    row = Release.objects.create(
        firm=actor.firm,
        visit=visit,
        number=visit.number,
        issue=issue,
        snapshot=snapshot,
        snapshot_sha256=canonical_snapshot.digest(snapshot),
        case_file=case_file(actor, visit),
        signature=SignOff.objects.get(
            visit=visit, kind=SignOff.Kind.SIGNED, undone_at__isnull=True
        ),
        asked_for_by_id=actor.member_id,
        frozen_at=now,
        replaces=earlier,
        reason=correction.reason.strip() if correction else "",
        asked_by=correction.asked_by if correction else "",
    )
    _into_chain(row, now)
    return row


def _snapshot(
    actor: Actor,
    visit: Visit,
    now: datetime,
    issue: int,
    earlier: Release | None,
    correction: Correction | None,
) -> bytes:
    # The chain's lock is taken first: the snapshot prints its own place in it.
    ChainHead.objects.get_or_create(firm=actor.firm, chain=ChainHead.Chain.RELEASE)
    head = ChainHead.objects.select_for_update().get(
        firm=actor.firm, chain=ChainHead.Chain.RELEASE
    )
    return build(
        actor=actor,
        visit=visit,
        issue=IssueIn(
            issue=issue,
            issued_at=now,
            replaces=replaced(earlier, correction) if earlier and correction else None,
            chain_seq=head.seq + 1,
            chain_prev=head.entry,
            salt=secrets.token_hex(32),
        ),
    )


def _into_chain(row: Release, now: datetime) -> None:
    link = chain.add(
        firm=row.firm,
        chain=ChainHead.Chain.RELEASE,
        kind="release",
        at=now,
        payload=row.snapshot_sha256,
    )
    ReleaseEntry.objects.create(
        firm=row.firm,
        release=row,
        seq=link.seq,
        at=now,
        payload=row.snapshot_sha256,
        prev=link.prev,
        entry=link.entry,
    )


def make_artefacts(*, actor: Actor, job_id: UUID, release_id: str) -> None:
    """Make what is missing of a release's files, then show it; safe to repeat.

    Files are stored by their content before their row is written, and the release
    becomes visible only when every row is there: a worker that dies anywhere leaves
    either nothing that shows or the whole release.
    """
    with bound(actor.firm.pk):
        row = Release.objects.get(pk=release_id)
        if row.state == Release.State.RELEASED:
            return
        made = set(row.artefacts.values_list("kind", flat=True))
        snapshot = bytes(row.snapshot)
    assets = _assets(actor, snapshot)
    for kind, maker in _MAKERS.items():
        if kind in made:
            continue
        jobs.report_progress(
            actor=actor, job_id=job_id, text=f"Making the {Artefact.Kind(kind).label}"
        )
        content = maker(snapshot, assets)
        if kind == Artefact.Kind.PDF:
            content = seals.put_on(actor=actor, pdf=content, reason=_sealed_as(row))
        _store(actor, release_id, kind, content)
    _show(actor, release_id)


def _sealed_as(row: Release) -> str:
    return f"Report {row.number}, issue {row.issue}, as released"


def _assets(actor: Actor, snapshot: bytes) -> dict[str, bytes]:
    """Fetch the bytes of every rendition that the snapshot names."""
    photos = reading.from_bytes(snapshot).photos
    wanted = {
        copy.sha256
        for photo in photos
        for copy in (photo.renditions.large, photo.renditions.print)
    }
    return {
        sha: storage.get(f"firm/{actor.firm.pk}/rendition/{sha}.jpg") for sha in wanted
    }


def _store(actor: Actor, release_id: str, kind: str, content: bytes) -> None:
    digest = storage.sha256(content)
    storage.put(f"firm/{actor.firm.pk}/artefact/{digest}", content)
    with bound(actor.firm.pk):
        Artefact.objects.get_or_create(
            firm=actor.firm,
            release_id=release_id,
            kind=kind,
            defaults={
                "sha256": digest,
                "size": len(content),
                "made_at": timezone.now(),
            },
        )


def _show(actor: Actor, release_id: str) -> None:
    with bound(actor.firm.pk):
        row = Release.objects.select_for_update().get(pk=release_id)
        if row.state == Release.State.RELEASED:
            return
        row.state, row.released_at = Release.State.RELEASED, timezone.now()
        row.save(update_fields=["state", "released_at"])
        visits.move_on(row.visit, Visit.Status.RELEASED)
        _announce(row)
        after_release.ask_for_it(actor=actor, release=row)
        audit.record(
            actor=actor,
            event="release.shown",
            subject=f"release:{row.pk}",
            detail={a.kind: a.sha256 for a in row.artefacts.order_by("kind")}
            | {"released_at": chain.stamp(row.released_at)},
        )


def _announce(row: Release) -> None:
    """Let anybody who holds one of the files ask whether it is genuine."""
    digests = [row.snapshot_sha256, *row.artefacts.values_list("sha256", flat=True)]
    for digest in digests:
        KnownFile.objects.get_or_create(
            sha256=digest, defaults={"firm": row.firm, "release": row.pk}
        )


@transaction.atomic
def try_again(*, actor: Actor, row: Release) -> None:
    """Take up the making of files again after it had failed."""
    actor.require("reports.release")
    if row.state == Release.State.RELEASED:
        raise NotAllowed("This report is released already.")
    jobs.enqueue(actor=actor, task=TASK, key=str(row.pk), release_id=str(row.pk))


def newest_work(*, actor: Actor, visit: Visit) -> Job | None:
    """Return the background work that makes the newest issue's files."""
    newest = visit.releases.order_by("-issue").values_list("pk", flat=True).first()
    if newest is None:
        return None
    return Job.objects.filter(firm=actor.firm, task=TASK, key=str(newest)).first()


def _pdf(snapshot: bytes, assets: Assets) -> bytes:
    return child.render(
        snapshot, assets, paper=getattr(settings, "FIRM_PAPER", "letter")
    )


def _web(snapshot: bytes, _assets: Assets) -> bytes:
    return web.build(snapshot, links=file_links()).encode()


def _gallery(snapshot: bytes, _assets: Assets) -> bytes:
    return gallery.build(snapshot, links=gallery_links()).encode()


_MAKERS: dict[str, Callable[[bytes, Assets], bytes]] = {
    "web": _web,
    "gallery": _gallery,
    "pdf": _pdf,
}
