"""Finished rows of the release pages."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from django.urls import reverse

from findings.models import SignOff
from findings.standards.due import due_date
from findings.standards.loader import pack
from firm.actor import Actor
from firm.models import Job
from inspections.access import visible_visits
from inspections.models import Visit
from inspections.selectors.heads import visit_head
from inspections.selectors.rows import OpenLine
from inspections.selectors.words import moment
from reports.models import Artefact, Release
from reports.selectors.beside_pages import unanswered
from reports.selectors.door_rows import doors, readers
from reports.selectors.gate import Blocker, blockers
from reports.selectors.owed import law_wants_it_by
from reports.selectors.release_pages import (
    FileRow,
    IssueRow,
    OverrideRow,
    ReleaseListPage,
    ReleasePage,
    ReleaseVisitRow,
    StepRow,
)

STEPS = ("web", "gallery", "pdf")
PAGES = {"web": "release-web", "gallery": "release-gallery", "pdf": "release-pdf"}


def list_page(actor: Actor) -> ReleaseListPage:
    """Visits by whether their report is out; one query."""
    visits = (
        visible_visits(actor)
        .exclude(status__in=[Visit.Status.BOOKED, Visit.Status.ABANDONED])
        .select_related("property")
        .order_by("-starts_at")[:200]
    )
    rows = [(visit.status, _visit_row(actor, visit)) for visit in visits]
    out = Visit.Status.RELEASED
    return ReleaseListPage(
        waiting=tuple(row for status, row in rows if status != out),
        released=tuple(row for status, row in rows if status == out),
    )


def _visit_row(actor: Actor, visit: Visit) -> ReleaseVisitRow:
    return ReleaseVisitRow(
        url=reverse("release-read", args=[actor.firm.slug, visit.pk]),
        address=visit.property.street,
        town=visit.property.city,
        state=visit.get_status_display(),
        due=due_words(visit),
        has_open=visit.status == Visit.Status.SIGNED,
    )


def due_words(visit: Visit) -> str:
    """Say when the report is due and by which line."""
    due = due_date(
        pack(visit.pack),
        visit.ends_at,
        visit.property.time_zone,
        visit.agreed_due_at,
        visit.decide_by_at,
        visit.paid_at,
    )
    if due.at is None:
        return ""
    return f"Due {moment(due.at, visit.property.time_zone)}: {due.lines[0].says}"


def release_page(
    actor: Actor, visit: Visit, job: Job | None, now: datetime
) -> ReleasePage:
    """Everything of one visit's releases; queries do not grow with its contents."""
    releases = list(
        Release.objects.filter(firm=actor.firm, visit=visit)
        .prefetch_related("artefacts", "taken_back")
        .defer("snapshot", "case_file")
        .order_by("-issue")
    )
    newest = releases[0] if releases else None
    under_way = newest is not None and newest.state != Release.State.RELEASED
    against = [] if under_way else blockers(actor, visit)
    done = _done(newest) if newest and under_way else 0
    failed = job is not None and job.state == Job.State.FAILED
    return ReleasePage(
        head=visit_head(actor, visit, "release-read"),
        due=due_words(visit),
        blockers=tuple(
            OpenLine(found.text, _settled_at(actor, found.where)) for found in against
        ),
        people=_people(actor, visit),
        steps=_steps(newest, job) if newest and under_way else (),
        progress_done=done,
        progress_of=len(STEPS) if under_way else 0,
        working=under_way and not failed,
        retry_url=_url("release-retry", actor, newest) if failed and newest else "",
        release_url=""
        if under_way or not actor.can("reports.release")
        else reverse("release-make", args=[actor.firm.slug, visit.pk]),
        is_correction=newest is not None,
        issues=tuple(_issue(actor, visit, row) for row in releases),
        doors=doors(actor, visit),
        readers=readers(actor, visit) if releases and not under_way else (),
        overrides=_overrides(actor, visit, against, now),
        questions=unanswered(actor, visit),
        evidence_url=_evidence_url(actor, visit, releases),
    )


def _evidence_url(actor: Actor, visit: Visit, releases: list[Release]) -> str:
    shown = [row for row in releases if row.state == Release.State.RELEASED]
    if not shown or not actor.can("reports.release") or shown[0].erased_at:
        return ""
    return reverse("release-evidence", args=[actor.firm.slug, visit.pk])


def _done(release: Release) -> int:
    return len(release.artefacts.all())


def _steps(release: Release, job: Job | None) -> tuple[StepRow, ...]:
    made = {row.kind for row in release.artefacts.all()}
    failed = job is not None and job.state == Job.State.FAILED
    rows, current = [], False
    for kind in STEPS:
        if kind in made:
            state = "done"
        elif current:
            state = "left"
        else:
            state, current = ("trouble" if failed else "now"), True
        trouble = job.last_error if job and state == "trouble" else ""
        rows.append(StepRow(Artefact.Kind(kind).label, state, trouble=trouble))
    return tuple(rows)


def _people(actor: Actor, visit: Visit) -> tuple[str, ...]:
    words = {
        SignOff.Kind.SIGNED: "Looked at and signed by",
        SignOff.Kind.WORDS_CHECKED: "Words checked by",
    }
    rows = SignOff.objects.filter(
        firm=actor.firm, visit=visit, undone_at__isnull=True, kind__in=list(words)
    ).select_related("membership")
    zone = visit.property.time_zone
    return tuple(
        f"{words[SignOff.Kind(row.kind)]} {row.membership.name}, "
        f"{moment(row.made_at, zone)}."
        for row in rows
    )


def _issue(actor: Actor, visit: Visit, row: Release) -> IssueRow:
    zone = visit.property.time_zone
    shown = row.state == Release.State.RELEASED
    back = next(iter(row.taken_back.all()), None)
    state = row.get_state_display()
    if back is not None:
        state = f"Taken back {moment(back.at, zone)}: {back.because}"
    return IssueRow(
        title=f"{row.number}, issue {row.issue} of {moment(row.frozen_at, zone)}",
        state=state,
        take_back_url=_url("release-take-back", actor, row)
        if shown and back is None and actor.can("reports.take_back")
        else "",
        files=tuple(
            FileRow(
                Artefact.Kind(file.kind).label,
                _url(PAGES[file.kind], actor, row),
                _size(file.size),
            )
            for file in row.artefacts.all()
            if shown and not row.erased_at
        ),
        changed=row.reason,
        asked_by=row.asked_by.lower(),
        digest=row.snapshot_sha256 if shown else "",
    )


OWED = {
    "fee-owed": ("PAYMENT", "Release it although the fee is not paid"),
    "agreement-unsigned": ("AGREEMENT", "Release it although a client has not signed"),
}


def _overrides(
    actor: Actor, visit: Visit, against: Sequence[Blocker], now: datetime
) -> tuple[OverrideRow, ...]:
    """Return what the owner may let go: only where the law's date is a day away."""
    due = law_wants_it_by(visit)
    near = due is not None and due - now <= timedelta(hours=24)
    if due is None or not near or not actor.can("reports.override"):
        return ()
    by = moment(due, visit.property.time_zone)
    url = reverse("override-record", args=[actor.firm.slug, visit.pk])
    codes = dict.fromkeys(found.code for found in against if found.code in OWED)
    return tuple(
        OverrideRow(*OWED[code], f"The report has to be out by {by}.", url)
        for code in codes
    )


def _url(name: str, actor: Actor, row: Release) -> str:
    return reverse(name, args=[actor.firm.slug, row.pk])


def _size(size: int) -> str:
    return f"{size / 1_000_000:.1f} MB" if size > 100_000 else f"{size // 1000} KB"  # noqa: PLR2004


def _settled_at(actor: Actor, where: str) -> str:
    """Return the page that settles what stands against a release, where one does."""
    kind, _, name = where.partition(":")
    if kind != "rule" or not actor.can("rules.read"):
        return ""
    return reverse("rule-read", args=[actor.firm.slug, name])
