"""My day: an inspector's visits of one day, and what waits for their yes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.urls import reverse

from findings.models import Finding, SubstanceChange
from findings.selectors.field.rows import DayVisitRow, MyDayPage, WaitingRow
from firm.actor import Actor
from inspections.access import goes_along
from inspections.models import AgreementSignature, Party, Visit
from inspections.selectors.words import purpose_words

Status = Visit.Status
ONE_DAY = timedelta(days=1)


def my_day_page(actor: Actor, day: str, now: datetime) -> MyDayPage:
    """Return the day asked for, or today by the firm's clock; the same few queries."""
    zone = ZoneInfo(actor.firm.time_zone)
    on = _day(day) or now.astimezone(zone).date()
    start = datetime.combine(on, time(), zone)
    visits = list(
        Visit.objects.filter(
            goes_along(actor),
            firm=actor.firm,
            starts_at__gte=start,
            starts_at__lt=datetime.combine(on + ONE_DAY, time(), zone),
        )
        .exclude(status=Status.ABANDONED)
        .select_related("property")
        .order_by("starts_at")
    )
    people, unsigned = _people(actor, visits), _unsigned(actor, visits)
    base = reverse("my-day", args=[actor.firm.slug])
    return MyDayPage(
        day=on,
        visits=tuple(
            _row(actor, visit, people.get(visit.pk, []), unsigned.get(visit.pk, []))
            for visit in visits
        ),
        waiting=tuple(_waiting(actor)),
        earlier_url=f"{base}?day={on - ONE_DAY}",
        later_url=f"{base}?day={on + ONE_DAY}",
    )


def _row(
    actor: Actor, visit: Visit, people: Sequence[Party], unsigned: Sequence[str]
) -> DayVisitRow:
    doors = [p.contact for p in people if p.part == Party.As.ACCESS]
    way_in = [", ".join(filter(None, (c.name, c.phone))) for c in doors]
    return DayVisitRow(
        visit_id=str(visit.pk),
        url=reverse("visit-read", args=[actor.firm.slug, visit.pk]),
        starts_at=visit.starts_at,
        ends_at=visit.ends_at,
        zone=visit.property.time_zone,
        address=visit.property.street,
        town=visit.property.city,
        purpose=purpose_words(visit.purpose),
        clients=tuple(p.contact.name for p in people if p.part == Party.As.CLIENT),
        access=". ".join([*way_in, *filter(None, [visit.access_note])])
        or "nothing was said",
        state=visit.get_status_display(),
        open_points=tuple(f"{name} has not signed the agreement." for name in unsigned),
    )


def _people(actor: Actor, visits: Iterable[Visit]) -> dict[Any, list[Party]]:
    found: dict[Any, list[Party]] = {}
    for party in (
        Party.objects.filter(firm=actor.firm, visit__in=[v.pk for v in visits])
        .select_related("contact")
        .order_by("position", "contact__name")
    ):
        found.setdefault(party.visit_id, []).append(party)
    return found


def _unsigned(actor: Actor, visits: Iterable[Visit]) -> dict[Any, list[str]]:
    """Return the clients of each visit whose signature was asked and is missing."""
    found: dict[Any, list[str]] = {}
    for visit_id, name in (
        AgreementSignature.objects.filter(
            firm=actor.firm,
            agreement__visit__in=[v.pk for v in visits],
            signed_at__isnull=True,
        )
        .order_by("party__position")
        .values_list("agreement__visit_id", "party__contact__name")
    ):
        found.setdefault(visit_id, []).append(name)
    return found


def _waiting(actor: Actor) -> Iterable[WaitingRow]:
    """Yield what only this inspector can answer, in three queries."""
    own = Visit.objects.filter(firm=actor.firm, inspector_id=actor.member_id)
    asked: dict[Any, int] = {}
    for visit_id in SubstanceChange.objects.filter(
        firm=actor.firm,
        finding__visit__in=own.values("pk"),
        answer=SubstanceChange.Answer.WAITING,
    ).values_list("finding__visit_id", flat=True):
        asked[visit_id] = asked.get(visit_id, 0) + 1
    back: dict[Any, int] = {}
    for visit_id in Finding.objects.filter(
        firm=actor.firm, visit__in=own.values("pk"), state=Finding.State.RETURNED
    ).values_list("visit_id", flat=True):
        back[visit_id] = back.get(visit_id, 0) + 1
    open_ones = own.exclude(status__in=[Status.RELEASED, Status.ABANDONED])
    for visit in open_ones.select_related("property").order_by("starts_at"):
        points = _points(visit, asked.get(visit.pk, 0), back.get(visit.pk, 0))
        if points:
            yield WaitingRow(
                label=visit.property.street,
                note="; ".join(points),
                url=reverse("visit-sign", args=[actor.firm.slug, visit.pk]),
            )


def _points(visit: Visit, asked: int, back: int) -> list[str]:
    points = []
    if asked:
        points.append(_counted(asked, "change of substance", "changes of substance"))
    if back:
        points.append(_counted(back, "finding sent back", "findings sent back"))
    if visit.status == Status.WORDS_CHECKED:
        points.append("the words are checked, ready to sign")
    return points


def _counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
