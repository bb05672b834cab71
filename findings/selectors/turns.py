"""Whose turn a visit's review is: named, covered for, or whoever is free."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from findings.models import ReviewCover, ReviewTurn
from firm.actor import Actor
from firm.capabilities import ROLES_WITH
from firm.models import Membership
from inspections.models import Visit

REVIEWS = ROLES_WITH["words.review"]


@dataclass(frozen=True, slots=True)
class Turn:
    """Who is to read a visit today; `named` differs while somebody covers."""

    reader: UUID | None
    words: str


FREE = Turn(None, "")


def today(actor: Actor, now: datetime) -> date:
    """Return the day of the firm's own clock."""
    return now.astimezone(ZoneInfo(actor.firm.time_zone)).date()


def turns(actor: Actor, visits: Iterable[Visit], now: datetime) -> dict[UUID, Turn]:
    """Return whose turn each visit is, in two queries."""
    rows = (
        ReviewTurn.objects.filter(firm=actor.firm, visit__in=list(visits))
        .select_related("reviewer")
        .order_by("number")
    )
    latest = {row.visit_id: row for row in rows}
    covers = standing_covers(actor, now)
    return {key: _turn(row, covers) for key, row in latest.items()}


def standing_covers(actor: Actor, now: datetime) -> dict[UUID, ReviewCover]:
    """Return who is away today, by member."""
    day = today(actor, now)
    rows = ReviewCover.objects.filter(
        firm=actor.firm, first_day__lte=day, last_day__gte=day, ended_at__isnull=True
    ).select_related("away", "by")
    return {row.away_id: row for row in rows.order_by("made_at")}


def _turn(row: ReviewTurn, covers: Mapping[UUID, ReviewCover]) -> Turn:
    named = row.reviewer
    if named is None:
        return FREE
    cover = covers.get(named.pk)
    if cover is None:
        return Turn(named.pk, f"named for {named.name}")
    until = f"{cover.last_day:%A} {cover.last_day.day} {cover.last_day:%B}"
    away = f"{named.name} is away until {until}"
    # Whoever covers may be away too; then it is open to everybody.
    if cover.by_id in covers:
        return Turn(None, f"{away}, and so is {cover.by.name}")
    return Turn(cover.by_id, f"{away}; {cover.by.name} covers")


def readers(actor: Actor) -> list[Membership]:
    """Return who of the firm can check words, by name."""
    rows = Membership.objects.filter(firm=actor.firm, disabled_at__isnull=True)
    return [row for row in rows.order_by("name") if REVIEWS & set(row.roles)]


def covers_to_come(actor: Actor, now: datetime) -> list[ReviewCover]:
    """Return the covers that stand or are still to come, the nearest first."""
    rows = ReviewCover.objects.filter(
        firm=actor.firm, last_day__gte=today(actor, now), ended_at__isnull=True
    )
    return list(rows.select_related("away", "by").order_by("first_day", "made_at"))
