"""What the office records for a state's rules: interests, payment, holds."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db import IntegrityError, transaction

from findings.selectors.visit_asks import signing_of
from findings.standards import agreed, conflicts
from findings.standards.loader import pack
from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from inspections.models import Hold, Interest, Visit


class UnableToRecord(Refusal):
    """A state's rule stands against it."""

    code = "unable-to-record"


@transaction.atomic
def record_interest(
    *,
    actor: Actor,
    visit: Visit,
    kind: str,
    text: str,
    work_on: date | None,
    now: datetime,
) -> Interest:
    """Record a tie, a second payer, or work for pay at the house.

    Raises UnableToRecord for work that the state bars the firm from, BadInput for
    work without its day.
    """
    actor.require("visits.book")
    if kind == Interest.Kind.REPAIR:
        _allowed_work(actor, visit, work_on)
    row = Interest.objects.create(
        firm=actor.firm,
        visit=visit,
        kind=kind,
        text=" ".join(text.split()),
        work_on=work_on,
        recorded_by_id=actor.member_id,
        recorded_at=now,
    )
    _audit(actor, visit, "interest.recorded", {"interest": str(row.pk), "kind": kind})
    return row


def _allowed_work(actor: Actor, visit: Visit, work_on: date | None) -> None:
    """Refuse work at a house that the firm inspected within the state's time."""
    if work_on is None:
        raise BadInput("Say on which day the work is or was done.", field="work_on")
    same_house = Visit.objects.filter(
        firm=actor.firm,
        property__street__iexact=visit.property.street,
        property__city__iexact=visit.property.city,
        property__state=visit.property.state,
    ).exclude(status=Visit.Status.ABANDONED)
    for one in same_house.select_related("property"):
        zone = ZoneInfo(one.property.time_zone)
        why = conflicts.repair_objection(
            pack(one.pack),
            inspected_on=one.starts_at.astimezone(zone).date(),
            work_on=work_on,
        )
        if why:
            raise UnableToRecord(f"{why} Visit {one.number}.", field="work_on")


@transaction.atomic
def tell_interest(
    *, actor: Actor, row: Interest, how: str, consent: bool, now: datetime
) -> None:
    """Record that every client was told, or that all consented, in writing."""
    actor.require("visits.book")
    said = " ".join(how.split())
    if not said:
        raise BadInput("Say how and when it was told in writing.", field="how")
    if consent:
        row.consent_at, row.consent_how = now, said
    if row.told_at is None:
        row.told_at, row.told_how = now, said
    row.save(update_fields=["told_at", "told_how", "consent_at", "consent_how"])
    event = "interest.consented" if consent else "interest.told"
    _audit(actor, row.visit, event, {"interest": str(row.pk), "how": said})


@transaction.atomic
def record_payment(*, actor: Actor, visit: Visit, paid_on: date, now: datetime) -> None:
    """Record payment in full; some states count the report's days from it.

    Raises UnableToRecord where the agreement has to be signed before money is taken.
    """
    actor.require("visits.book")
    zone = ZoneInfo(visit.property.time_zone)
    if paid_on > now.astimezone(zone).date():
        raise BadInput("That day is still to come.", field="paid_on")
    why = agreed.waits(pack(visit.pack), signing_of(actor, visit), "payment")
    if why:
        raise UnableToRecord(f"{why} Send the agreement first.", field="paid_on")
    # Noon of that day by the house's clock: the day counts, not the minute.
    visit.paid_at = datetime(paid_on.year, paid_on.month, paid_on.day, 12, tzinfo=zone)
    visit.save(update_fields=["paid_at"])
    _audit(actor, visit, "payment.recorded", {"paid_on": paid_on.isoformat()})


@transaction.atomic
def place_hold(*, actor: Actor, visit: Visit, because: str, now: datetime) -> Hold:
    """Place a hold: while it stands nothing of the visit may go."""
    actor.require("visits.hold")
    said = " ".join(because.split())
    if not said:
        raise BadInput("Say what the dispute is about.", field="because")
    return _place_hold(actor, visit, said, now)


@transaction.atomic
def hold_for_complaint(
    *, actor: Actor, visit: Visit, because: str, now: datetime
) -> Hold:
    """Return the hold that stands, or place one: whoever takes a complaint may."""
    actor.require("complaints.take")
    standing = Hold.objects.filter(
        firm=actor.firm, visit=visit, ended_at__isnull=True
    ).first()
    return standing or _place_hold(actor, visit, because, now)


def _place_hold(actor: Actor, visit: Visit, said: str, now: datetime) -> Hold:
    try:
        with transaction.atomic():
            row = Hold.objects.create(
                firm=actor.firm,
                visit=visit,
                because=said,
                placed_by_id=actor.member_id,
                placed_at=now,
            )
    except IntegrityError as twice:
        if "hold_one_standing" not in str(twice):
            raise
        raise UnableToRecord("A hold stands on this visit already.") from twice
    _audit(actor, visit, "hold.placed", {"because": said})
    return row


@transaction.atomic
def end_hold(*, actor: Actor, row: Hold, because: str, now: datetime) -> None:
    """End a hold, with how the dispute ended; the state's years count from now."""
    actor.require("visits.hold")
    said = " ".join(because.split())
    if not said:
        raise BadInput("Say how the dispute ended.", field="because")
    changed = Hold.objects.filter(pk=row.pk, ended_at__isnull=True).update(
        ended_at=now, ended_because=said
    )
    if changed:
        _audit(actor, row.visit, "hold.ended", {"because": said})


def _audit(actor: Actor, visit: Visit, event: str, detail: dict[str, str]) -> None:
    audit.record(actor=actor, event=event, subject=f"visit:{visit.pk}", detail=detail)
