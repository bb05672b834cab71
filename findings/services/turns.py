"""Naming who reads a visit, and who covers for a reviewer that is away."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from findings.models import ReviewCover, ReviewTurn
from findings.selectors import turns as rows
from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from firm.models import Membership
from inspections.models import Visit

CLOSED = {Visit.Status.RELEASED, Visit.Status.ABANDONED}


class UnableToName(Refusal):
    """This visit cannot be given to this person."""

    code = "unable-to-name"


@dataclass(frozen=True, slots=True)
class Away:
    """Who is away from when to when, who covers, and why."""

    away: Membership
    by: Membership
    first_day: date
    last_day: date
    because: str


@transaction.atomic
def name_reader(
    *,
    actor: Actor,
    visit: Visit,
    reader: Membership | None,
    because: str,
    now: datetime,
) -> None:
    """Give a visit's review to somebody, or with nobody to whoever is free."""
    actor.require("words.review")
    visit = Visit.objects.select_for_update().get(pk=visit.pk)
    if visit.status in CLOSED:
        raise UnableToName("This visit's review is over.")
    if reader is not None:
        _can_read(actor, reader, "reader")
        if reader.pk == visit.inspector_id and len(rows.readers(actor)) > 1:
            raise UnableToName(
                f"{reader.name} was the inspector; name somebody else.", field="reader"
            )
    earlier = visit.turns.order_by("-number").first()
    ReviewTurn.objects.create(
        firm=actor.firm,
        visit=visit,
        number=earlier.number + 1 if earlier else 1,
        reviewer=reader,
        because=because.strip(),
        given_by_id=actor.member_id,
        given_at=now,
    )
    audit.record(
        actor=actor,
        event="review.given",
        subject=f"visit:{visit.pk}",
        detail={"to": str(reader.pk) if reader else "", "because": because.strip()},
    )


@transaction.atomic
def cover(*, actor: Actor, away: Away, now: datetime) -> ReviewCover:
    """Have somebody read what is named for a reviewer who is away."""
    actor.require("words.review")
    _can_read(actor, away.away, "away")
    _can_read(actor, away.by, "by")
    if away.away.pk == away.by.pk:
        raise BadInput("Nobody covers for themselves.", field="by")
    if away.last_day < away.first_day:
        raise BadInput("The last day is before the first.", field="last_day")
    if away.last_day < rows.today(actor, now):
        raise BadInput("These days are over.", field="last_day")
    if not away.because.strip():
        raise BadInput("Say why, in a few words.", field="because")
    row = ReviewCover.objects.create(
        firm=actor.firm,
        away=away.away,
        by=away.by,
        first_day=away.first_day,
        last_day=away.last_day,
        because=away.because.strip(),
        made_by_id=actor.member_id,
        made_at=now,
    )
    audit.record(
        actor=actor,
        event="cover.set",
        subject=f"member:{away.away.pk}",
        detail={"by": str(away.by.pk), "from": str(away.first_day)},
    )
    return row


@transaction.atomic
def end_cover(*, actor: Actor, row: ReviewCover, now: datetime) -> None:
    """End a cover, as the reviewer is back; ending twice changes nothing."""
    actor.require("words.review")
    standing = ReviewCover.objects.filter(pk=row.pk, ended_at__isnull=True)
    if standing.update(ended_at=now):
        audit.record(actor=actor, event="cover.ended", subject=f"member:{row.away_id}")


def _can_read(actor: Actor, member: Membership, field: str) -> None:
    if member.pk not in {one.pk for one in rows.readers(actor)}:
        raise BadInput(f"{member.name} does not check words here.", field=field)
