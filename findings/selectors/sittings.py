"""Who has a visit's review open just now, and how long reviews took."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median
from typing import Any
from uuid import UUID

from django.db.models import Count, F, Max, Q, QuerySet, Sum
from django.urls import reverse

from findings.models import Finding, ReviewSitting, Revision
from findings.selectors.review_words import clock
from firm.actor import Actor
from inspections.models import Visit

HERE = timedelta(seconds=90)  # three beats of the page
TARGET_S = 360
MOST = 40


@dataclass(frozen=True, slots=True)
class TimeRow:
    """How long the review of one visit took, over every person and day."""

    number: str
    url: str
    minutes: str
    findings: int
    reworded: int
    over: bool


@dataclass(frozen=True, slots=True)
class Times:
    """The times of the firm's latest reviews, and the middle one of them."""

    rows: tuple[TimeRow, ...]
    median: str


def others_here(actor: Actor, visit: Visit, now: datetime) -> str:
    """Say who else has this visit open, empty when nobody does."""
    rows = _open(actor, [visit], now)
    people = {row.reader.name: row for row in rows}
    zone = visit.property.time_zone
    return " ".join(
        f"{name} has this visit open too, since {clock(row.opened_at, zone)}."
        for name, row in sorted(people.items())
    )


def open_by_others(
    actor: Actor, visits: Iterable[Visit], now: datetime
) -> dict[UUID, str]:
    """Return by visit who else reads it now; one query."""
    found: dict[UUID, set[str]] = {}
    for row in _open(actor, visits, now):
        found.setdefault(row.visit_id, set()).add(row.reader.name)
    return {key: ", ".join(sorted(names)) for key, names in found.items()}


def _open(
    actor: Actor, visits: Iterable[Visit], now: datetime
) -> QuerySet[ReviewSitting]:
    return (
        ReviewSitting.objects.filter(
            firm=actor.firm, visit__in=list(visits), seen_at__gte=now - HERE
        )
        .exclude(reader_id=actor.member_id)
        .select_related("reader")
        .order_by("opened_at")
    )


def times(actor: Actor) -> Times:
    """Return how long the latest finished reviews took; three queries."""
    done = [Visit.Status.WORDS_CHECKED, Visit.Status.SIGNED, Visit.Status.RELEASED]
    sat = (
        ReviewSitting.objects.filter(firm=actor.firm, visit__status__in=done)
        .values("visit", number=F("visit__number"))
        .annotate(seconds=Sum("seconds"), last=Max("seen_at"))
        .order_by("-last")[:MOST]
    )
    rows = list(sat)
    visits = [row["visit"] for row in rows]
    findings = _counted(
        Finding.objects.filter(firm=actor.firm, visit__in=visits).exclude(
            state=Finding.State.WITHDRAWN
        ),
        "visit",
    )
    reworded = _counted(
        Revision.objects.filter(
            ~Q(author_id=F("finding__visit__inspector_id")),
            firm=actor.firm,
            finding__visit__in=visits,
        ),
        "finding__visit",
    )
    return Times(
        rows=tuple(
            TimeRow(
                number=row["number"],
                url=reverse("review-read", args=[actor.firm.slug, row["visit"]]),
                minutes=said(row["seconds"]),
                findings=findings.get(row["visit"], 0),
                reworded=reworded.get(row["visit"], 0),
                over=row["seconds"] > TARGET_S,
            )
            for row in rows
        ),
        median=said(round(median(row["seconds"] for row in rows))) if rows else "",
    )


def _counted(rows: QuerySet[Any], key: str) -> dict[UUID, int]:
    counted = rows.values(key).annotate(n=Count("pk"))
    return {row[key]: row["n"] for row in counted}


def said(seconds: int) -> str:
    """Say minutes and seconds as on a clock: 5:40."""
    return f"{seconds // 60}:{seconds % 60:02}"
