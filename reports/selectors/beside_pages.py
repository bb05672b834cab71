"""Finished rows of the firm's pages beside a report."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import OuterRef, Subquery

from firm.actor import Actor
from inspections.models import Hold, Visit
from inspections.selectors.heads import visit_head
from inspections.selectors.rows import VisitHead
from inspections.selectors.words import moment
from reports.models import Attachment, Complaint, Question, ThreadEntry
from reports.selectors.reader_pages import Thread, threads

PUT_BY = "Put by: release the correction, then answer and point to it."


@dataclass(frozen=True, slots=True)
class QuestionsPage:
    head: VisitHead
    threads: tuple[Thread, ...]
    may_answer: bool


@dataclass(frozen=True, slots=True)
class PaperRow:
    title: str
    author: str
    added: str
    file: str
    scan: str
    sha256: str


@dataclass(frozen=True, slots=True)
class PapersPage:
    head: VisitHead
    papers: tuple[PaperRow, ...]


@dataclass(frozen=True, slots=True)
class ComplaintRow:
    title: str
    how: str
    words: str
    taken: str
    insurer: str


@dataclass(frozen=True, slots=True)
class ComplaintsPage:
    head: VisitHead
    complaints: tuple[ComplaintRow, ...]
    standing: bool


def questions_page(
    actor: Actor, visit: Visit, issue: int, named: Mapping[str, str]
) -> QuestionsPage:
    rows = (
        Question.objects.filter(firm=actor.firm, visit=visit)
        .select_related("contact")
        .order_by("asked_at")
    )
    return QuestionsPage(
        head=visit_head(actor, visit, "question-list"),
        threads=threads(
            list(rows),
            named,
            visit.property.time_zone,
            actor.firm.name,
            issue,
        ),
        may_answer=actor.can("reports.answer"),
    )


def papers_page(actor: Actor, visit: Visit) -> PapersPage:
    rows = Attachment.objects.filter(firm=actor.firm, visit=visit).order_by("added_at")
    zone = visit.property.time_zone
    return PapersPage(
        head=visit_head(actor, visit, "paper-list"),
        papers=tuple(
            PaperRow(
                row.title,
                f"{row.author}, license {row.licence}" if row.licence else row.author,
                moment(row.added_at, zone),
                f"{row.file_name}, {max(1, round(row.size / 1000)):,} KB",
                Attachment.Scan(row.scan).label,
                row.sha256,
            )
            for row in rows
        ),
    )


def complaints_page(actor: Actor, visit: Visit) -> ComplaintsPage:
    rows = (
        Complaint.objects.filter(firm=actor.firm, visit=visit)
        .select_related("taken_by")
        .order_by("taken_at")
    )
    zone = visit.property.time_zone
    return ComplaintsPage(
        head=visit_head(actor, visit, "complaint-list"),
        complaints=tuple(
            ComplaintRow(
                f"{row.said_by}, {row.received_on:%B %-d, %Y}",
                row.how,
                row.words,
                f"{row.taken_by.name}, {moment(row.taken_at, zone)}",
                f"{row.insurer_by:%B %-d, %Y}" if row.insurer_by else "",
            )
            for row in rows
        ),
        standing=Hold.objects.filter(
            firm=actor.firm, visit=visit, ended_at__isnull=True
        ).exists(),
    )


def unanswered(actor: Actor, visit: Visit) -> int:
    """Count the questions whose last word is the reader's."""
    last = (
        ThreadEntry.objects.filter(question=OuterRef("pk"))
        .order_by("-at", "-pk")
        .values("member")[:1]
    )
    return (
        Question.objects.filter(firm=actor.firm, visit=visit)
        .annotate(last=Subquery(last))
        .filter(last__isnull=True)
        .count()
    )
