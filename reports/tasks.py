"""Background work of reports: load, one call."""

from typing import Any
from uuid import UUID

from firm.actor import Actor
from firm.jobs import work
from reports.services import releases, urgent


@work("reports.make_artefacts", queue="reports")
def make_artefacts(
    *, actor: Actor, job_id: UUID, release_id: str, **_later: Any
) -> None:
    releases.make_artefacts(actor=actor, job_id=job_id, release_id=release_id)


@work("reports.make_notice", queue="reports")
def make_notice(*, actor: Actor, notice_id: str, **_later: Any) -> None:
    urgent.make_file(actor=actor, notice_id=notice_id)
