"""Finished rows of the pages that a reader of a report writes on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from inspections.selectors.words import moment
from reports.models import (
    Consent,
    ListLine,
    Question,
    ShareLink,
    ThreadEntry,
)


@dataclass(frozen=True, slots=True)
class Reader:
    """Somebody a client has let in."""

    consent_id: UUID
    name: str
    reads: str
    since: str


@dataclass(frozen=True, slots=True)
class PeoplePage:
    firm_name: str
    readers: tuple[Reader, ...]


@dataclass(frozen=True, slots=True)
class OwnLine:
    """One line of a client's list; `about` is empty where it names no finding."""

    position: int
    words: str
    about: str


@dataclass(frozen=True, slots=True)
class ListPage:
    address: str
    lines: tuple[OwnLine, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """One message of a thread."""

    who: str
    when: str
    text: str
    by_firm: bool


@dataclass(frozen=True, slots=True)
class Thread:
    """A question with what followed."""

    id: UUID
    about: str
    asker: str
    state: str
    said: tuple[Said, ...]
    waits: bool = False


@dataclass(frozen=True, slots=True)
class QuestionsPage:
    firm_name: str
    phone: str
    threads: tuple[Thread, ...]


def people_page(link: ShareLink) -> PeoplePage:
    rows = (
        Consent.objects.filter(
            visit_id=link.visit_id,
            given_by_id=link.contact_id,
            withdrawn_at__isnull=True,
        )
        .select_related("for_contact")
        .order_by("given_at")
    )
    zone = link.visit.property.time_zone
    return PeoplePage(
        firm_name=link.visit.firm.name,
        readers=tuple(
            Reader(
                row.pk,
                row.for_contact.name,
                Consent.Scope(row.scope).label.lower(),
                moment(row.given_at, zone),
            )
            for row in rows
        ),
    )


def list_page(link: ShareLink, address: str, named: Mapping[str, str]) -> ListPage:
    rows = ListLine.objects.filter(
        visit_id=link.visit_id, contact_id=link.contact_id
    ).order_by("position")
    return ListPage(
        address=address,
        lines=tuple(
            OwnLine(row.position, row.words, named.get(row.finding, "")) for row in rows
        ),
    )


def questions_page(
    link: ShareLink, issue: int, named: Mapping[str, str]
) -> QuestionsPage:
    """One's own questions, oldest first; nobody reads another reader's."""
    rows = Question.objects.filter(
        visit_id=link.visit_id, contact_id=link.contact_id
    ).order_by("asked_at")
    firm = link.visit.firm
    return QuestionsPage(
        firm_name=firm.name,
        phone=firm.phone,
        threads=threads(
            list(rows), named, link.visit.property.time_zone, firm.name, issue
        ),
    )


def threads(
    rows: list[Question], named: Mapping[str, str], zone: str, firm: str, issue: int
) -> tuple[Thread, ...]:
    """Return the threads of some questions with two queries, however many."""
    entries: dict[UUID, list[ThreadEntry]] = {}
    for entry in (
        ThreadEntry.objects.filter(question__in=[row.pk for row in rows])
        .select_related("member", "question__contact")
        .order_by("at", "pk")
    ):
        entries.setdefault(entry.question_id, []).append(entry)
    return tuple(
        _thread(row, entries.get(row.pk, []), named, zone, firm, issue) for row in rows
    )


def _thread(
    row: Question,
    entries: list[ThreadEntry],
    named: Mapping[str, str],
    zone: str,
    firm: str,
    issue: int,
) -> Thread:
    waits = row.waits_for_issue is not None and issue < row.waits_for_issue
    answered = bool(entries) and entries[-1].member_id is not None
    if waits:
        state = "The report is being corrected; the answer comes with the correction."
    else:
        state = "Answered." if answered else "Not answered yet."
    return Thread(
        id=row.pk,
        about=named.get(row.finding, ""),
        asker=entries[0].question.contact.name if entries else "",
        state=state,
        said=tuple(_said(entry, zone, firm) for entry in entries),
        waits=waits,
    )


def _said(entry: ThreadEntry, zone: str, firm: str) -> Said:
    by_firm = entry.member is not None
    who = (
        f"{entry.member.name}, {firm}" if entry.member else entry.question.contact.name
    )
    return Said(who, moment(entry.at, zone), entry.text, by_firm)
