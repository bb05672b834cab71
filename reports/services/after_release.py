"""What is made once a report is out: lighter pictures, sheets for trades.

None of it is needed for reading; whoever comes sooner gets the JPEG, and a sheet is
made while they wait.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Final
from uuid import UUID

from PIL import Image

from firm import jobs, storage
from firm.actor import Actor
from firm.tenancy import bound
from reports.models import Release
from reports.services import cuts
from reports.services.told import snapshot_of

TASK = "reports.make_ready"
# Pillow's name, our ending, and how hard it presses.
LIGHTER: Final = (("AVIF", "avif", 60), ("WEBP", "webp", 78))


def ask_for_it(*, actor: Actor, release: Release) -> None:
    jobs.enqueue(
        actor=actor, task=TASK, key=str(release.pk), release_id=str(release.pk)
    )


def make_ready(*, actor: Actor, job_id: UUID, release_id: str) -> None:
    """Make sheets and lighter pictures of a release; safe to repeat."""
    with bound(actor.firm.pk):
        release = Release.objects.get(pk=release_id)
    jobs.report_progress(actor=actor, job_id=job_id, text="Making the trades' sheets")
    cuts.make_ready(release)
    jobs.report_progress(actor=actor, job_id=job_id, text="Making lighter pictures")
    for digest in sorted(set(_digests(release))):
        lighten(str(actor.firm.pk), digest)


def lighten(firm_id: str, digest: str) -> None:
    """Keep a served JPEG in lighter formats too, where they are lighter."""
    source = storage.get(f"firm/{firm_id}/rendition/{digest}.jpg")
    for name, ending, quality in LIGHTER:
        key = f"firm/{firm_id}/rendition/{digest}.{ending}"
        if storage.has(key):
            continue
        made = _encoded(source, name, quality)
        if len(made) < len(source):
            storage.put(key, made)


def _encoded(source: bytes, name: str, quality: int) -> bytes:
    """Encode our own rendition anew; pixels alone go over, nothing said of them."""
    out = io.BytesIO()
    with Image.open(io.BytesIO(source), formats=["JPEG"]) as picture:
        bare = Image.frombytes("RGB", picture.size, picture.convert("RGB").tobytes())
        bare.save(out, name, quality=quality)
    return out.getvalue()


def _digests(release: Release) -> Iterator[str]:
    for photo in snapshot_of(release).photos:
        copies = photo.renditions
        yield from (copies.large.sha256, copies.print.sha256, copies.thumb.sha256)
