"""What may be said about a file to somebody who only has its digest."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from firm.models import KnownFile
from firm.tenancy import bound
from reports.models import Release


@dataclass(frozen=True, slots=True)
class Known:
    """A file this installation released: no names, no address."""

    number: str
    issue: int
    newest_issue: int
    released_at: datetime

    @property
    def current(self) -> bool:
        return self.issue == self.newest_issue


def known(sha256: str) -> Known | None:
    """Return what is known of a digest, or None: never released here, or altered."""
    file = KnownFile.objects.filter(sha256=sha256).first()
    if file is None:
        return None
    with bound(file.firm_id):
        release = Release.objects.filter(
            pk=file.release, state=Release.State.RELEASED
        ).first()
        if release is None or release.released_at is None:
            return None
        newest = (
            Release.objects.filter(
                visit_id=release.visit_id, state=Release.State.RELEASED
            )
            .order_by("-issue")
            .values_list("issue", flat=True)[0]
        )
        return Known(release.number, release.issue, newest, release.released_at)
