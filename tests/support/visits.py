"""Visits and mutations for tests, made through the models and the push itself."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from inspections.models import Property, Visit
from inspections.services import log
from tests.support.cast import Person

STARTS = datetime(2026, 11, 24, 14, 0, tzinfo=UTC)


def make_visit(
    person: Person, number: str = "R-2026-0001", starts: datetime = STARTS, **extra: Any
) -> Visit:
    """A visit of one inspector; the firm must be bound."""
    house = Property.objects.create(
        firm=person.firm,
        street="12 Sawmill Row",
        city="Quarry Ford",
        state="NC",
        time_zone="America/New_York",
    )
    ends = starts + timedelta(hours=3)
    return Visit.objects.create(
        firm=person.firm,
        number=number,
        property=house,
        inspector=person.member,
        pack="NC",
        starts_at=starts,
        ends_at=ends,
        span=DateTimeTZRange(starts, ends),
        agreed_wall_time="2026-11-24 09:00 America/New_York",
        **extra,
    )


def mutation(seq: int, field: str, value: Any, **more: Any) -> dict[str, Any]:
    """One mutation as a phone sends it; a new record unless `rec` is given."""
    return {
        "seq": seq,
        "id": str(uuid4()),
        "rec": str(uuid4()),
        "field": field,
        "value": value,
        "seen": [],
        "schema": 1,
        "at": "2026-11-24T15:02:11.120Z",
    } | more


def push(
    person: Person, visit: Visit, device: UUID, *mutations: dict[str, Any]
) -> log.PushAnswer:
    return log.push(
        actor=person.actor,
        visit_id=visit.pk,
        device=device,
        client="test",
        now=STARTS,
        mutations=mutations,
        received_at=STARTS,
    )


def statuses(answer: log.PushAnswer) -> list[str]:
    return [result.s for result in answer.results]
