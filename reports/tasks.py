"""Background work of reports: load, one call."""

from typing import Any
from uuid import UUID

from celery import shared_task
from django.utils import timezone

from firm.actor import Actor
from firm.jobs import work
from reports.services import after_release, questions, releases, share_links, urgent
from reports.services.evidence import everything


@work("reports.make_artefacts", queue="reports")
def make_artefacts(
    *, actor: Actor, job_id: UUID, release_id: str, **_later: Any
) -> None:
    releases.make_artefacts(actor=actor, job_id=job_id, release_id=release_id)


@work("reports.make_notice", queue="reports")
def make_notice(*, actor: Actor, notice_id: str, **_later: Any) -> None:
    urgent.make_file(actor=actor, notice_id=notice_id)


@work("reports.make_ready", queue="photos")
def make_ready(*, actor: Actor, job_id: UUID, release_id: str, **_later: Any) -> None:
    after_release.make_ready(actor=actor, job_id=job_id, release_id=release_id)


@work("reports.send_link", queue="other")
def send_link(
    *, actor: Actor, job_id: UUID, link_id: str, address: str, **_later: Any
) -> None:
    share_links.deliver(actor=actor, job_id=job_id, link_id=link_id, address=address)


@work("reports.tell_thread", queue="other")
def tell_thread(
    *, actor: Actor, job_id: UUID, entry_id: str, address: str, **_later: Any
) -> None:
    questions.tell(actor=actor, job_id=job_id, entry_id=entry_id, address=address)


@shared_task(name="reports.mail_anchors", ignore_result=True)
def mail_anchors(**_later: Any) -> None:
    everything.mail_heads(timezone.now())
