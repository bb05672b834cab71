"""Questions about a released report, and their answers, as a thread.

An answer that would change what the report says is not given here: it waits until a
correction is released, so that nothing is altered by the back door.
"""

from __future__ import annotations

from datetime import datetime
from typing import Final
from uuid import UUID

from django.db import transaction

from firm import audit, jobs
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from firm.mail import send_now
from firm.tenancy import bound
from reports.models import Question, Release, ShareLink, ThreadEntry
from reports.services.told import seen_by, snapshot_of

TELL = "reports.tell_thread"
OPEN_AT_ONCE: Final = 30


class UnableToAnswer(Refusal):
    """A correction has to be released first."""

    code = "unable-to-answer"


@transaction.atomic
def ask(
    *,
    link: ShareLink,
    release: Release,
    text: str,
    number: int | None,
    now: datetime,
    address: str,
) -> Question:
    """Ask about a finding, or about the report as a whole."""
    said = _said(text)
    asker = Question.objects.filter(
        visit_id=link.visit_id, contact_id=link.contact_id
    ).count()
    if asker >= OPEN_AT_ONCE:
        raise BadInput(
            "Please call us: there are many questions already.", field="text"
        )
    question = Question.objects.create(
        firm_id=link.firm_id,
        visit_id=link.visit_id,
        contact_id=link.contact_id,
        issue=release.issue,
        finding=_finding(link, release, number),
        asked_at=now,
    )
    actor = Actor.link(link.visit.firm, link.contact.name, link.pk)
    _write(actor, question, None, said, now, address)
    return question


@transaction.atomic
def ask_on(
    *, link: ShareLink, question: Question, text: str, now: datetime, address: str
) -> ThreadEntry:
    """Write once more into one's own question."""
    actor = Actor.link(link.visit.firm, link.contact.name, link.pk)
    return _write(actor, question, None, _said(text), now, address)


@transaction.atomic
def answer(
    *,
    actor: Actor,
    question: Question,
    text: str,
    changes_report: bool,
    now: datetime,
    address: str,
) -> ThreadEntry | None:
    """Answer, or put the question by until its correction is out; then return None.

    Raises UnableToAnswer while that correction is not released.
    """
    actor.require("reports.answer")
    issue = _issue_out(question)
    if question.waits_for_issue is not None and issue < question.waits_for_issue:
        raise UnableToAnswer(
            "The answer changes what the report says. Release the correction first, "
            "then answer and point to it."
        )
    if changes_report and question.waits_for_issue is None:
        question.waits_for_issue = issue + 1
        question.save(update_fields=["waits_for_issue"])
        audit.record(
            actor=actor,
            event="question.needs_correction",
            subject=f"visit:{question.visit_id}",
            detail={"question": str(question.pk), "issue": issue + 1},
        )
        return None
    return _write(actor, question, actor.member_id, _said(text), now, address)


def tell(*, actor: Actor, job_id: UUID, entry_id: str, address: str) -> None:
    """Tell the other side by mail that there is something to read; not what."""
    with bound(actor.firm.pk):
        entry = ThreadEntry.objects.select_related(
            "question__contact", "question__visit"
        ).get(pk=entry_id)
    by_firm = entry.member_id is not None
    to = entry.question.contact.email if by_firm else actor.firm.email
    if not to:
        return
    send_now(
        firm=actor.firm,
        to=to,
        template="reports/mail/answered" if by_firm else "reports/mail/asked",
        context={
            "firm": actor.firm,
            "name": entry.question.contact.name,
            "number": entry.question.visit.number,
            "page": f"{address}/f/{actor.firm.slug}/visits/"
            f"{entry.question.visit_id}/questions/",
        },
        work=job_id,
    )


def _write(
    actor: Actor,
    question: Question,
    member: UUID | None,
    text: str,
    now: datetime,
    address: str,
) -> ThreadEntry:
    entry = ThreadEntry.objects.create(
        firm_id=question.firm_id, question=question, member_id=member, text=text, at=now
    )
    audit.record(
        actor=actor,
        event="question.answered" if member else "question.asked",
        subject=f"visit:{question.visit_id}",
        detail={"question": str(question.pk), "entry": str(entry.pk)},
    )
    jobs.enqueue(
        actor=actor,
        task=TELL,
        key=str(entry.pk),
        entry_id=str(entry.pk),
        address=address,
    )
    return entry


def _said(text: str) -> str:
    said = text.strip()
    if not said:
        raise BadInput("Write a few words.", field="text")
    return said


def _finding(link: ShareLink, release: Release, number: int | None) -> str:
    if number is None:
        return ""
    seen = seen_by(release, whole=link.whole)
    for one in snapshot_of(release).findings:
        if one.number == number and one.id in seen:
            return one.id
    raise BadInput(f"The report has no finding {number}.", field="number")


def _issue_out(question: Question) -> int:
    newest = (
        Release.objects.filter(visit_id=question.visit_id, state=Release.State.RELEASED)
        .order_by("-issue")
        .values_list("issue", flat=True)
        .first()
    )
    return newest or 0
