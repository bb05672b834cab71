"""Background work of reports: load, one call."""

from typing import Any
from uuid import UUID

from celery import shared_task
from django.utils import timezone

from firm.actor import Actor
from firm.jobs import work
from reports.services import releases
from reports.services.evidence import everything


@work("reports.make_artefacts", queue="reports")
def make_artefacts(
    *, actor: Actor, job_id: UUID, release_id: str, **_later: Any
) -> None:
    releases.make_artefacts(actor=actor, job_id=job_id, release_id=release_id)


@shared_task(name="reports.mail_anchors", ignore_result=True)
def mail_anchors(**_later: Any) -> None:
    everything.mail_heads(timezone.now())
