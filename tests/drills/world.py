"""Two visits, three released issues, and a hand that holds the whole database."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from django.db import connections
from django.utils import timezone

from firm.models import Installation
from firm.tenancy import bound
from reports.models import Release
from reports.services import seals
from reports.services.evidence import anchors, bundle
from reports.services.evidence.anchors import Anchor
from tests.faults.world import make_committed_cast
from tests.support.cast import Cast
from tests.support.released import release, signed, two_issues
from tests.support.visits import STARTS
from tests.support.walked import Walk

# What the database refuses by itself, given up: the drill's hand is its owner's.
GUARDED = (
    "reports_release",
    "reports_releaseentry",
    "reports_artefact",
    "reports_seal",
    "reports_sealroot",
    "firm_auditentry",
)


@dataclass
class World:
    """What was released, what had left the house, and a bundle that was handed out."""

    cast: Cast
    visit: Walk
    anchors: list[Anchor]
    folder: Path
    root: str
    whole_list: bytes = b""

    @property
    def releases(self) -> list[Release]:
        return list(Release.objects.order_by("number", "issue"))


@contextmanager
def made() -> Iterator[World]:
    """Release for real, keep the heads outside, then take the guards away."""
    Installation.objects.get_or_create()
    cast = make_committed_cast()
    with bound(cast.northside.pk):
        walked = two_issues(cast)
        release(signed(cast, number="R-2026-0002", starts=STARTS - timedelta(hours=4)))
    with bound(cast.northside.pk):
        held = anchors.now_held(cast.owner.actor, timezone.now())
        packed = bundle.build(
            actor=cast.owner.actor, visit=walked.visit, now=timezone.now()
        )
        # The bundle leaves a line in the chain of deeds: the heads move once more.
        held = [*held, *anchors.now_held(cast.owner.actor, timezone.now())]
    with connections["owner"].cursor() as cursor:
        for table in GUARDED:
            cursor.execute(f"alter table {table} disable trigger user")
    with TemporaryDirectory(prefix="kingpost-drill-") as name:
        with zipfile.ZipFile(io.BytesIO(packed)) as files:
            files.extractall(name)
        yield World(cast, walked, held, Path(name), seals.root_fingerprint())
