"""Everything that changes a visit outside its log: booking, handing on, abandoning."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from firm.models import Licence, Membership, StandardInForce
from inspections.models import Contact, Party, Property, Visit
from inspections.services.walltime import moment_of


class UnableToBook(Refusal):
    """The inspector is elsewhere then, or may not work in that state."""

    code = "unable-to-book"


class UnableToMoveOn(Refusal):
    """The visit is not in a state from which this can happen."""

    code = "visit-state"


@dataclass(frozen=True, slots=True)
class PropertyIn:
    """What is said on the phone about the house."""

    street: str
    city: str
    state: str
    postcode: str
    time_zone: str
    kind: str = "detached"
    floor_area_ft2: int | None = None
    built_from: int | None = None
    built_to: int | None = None
    built_source: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class PersonIn:
    """A person with a part in the visit: CLIENT, AGENT, SELLER or ACCESS."""

    part: str
    name: str
    email: str = ""
    phone: str = ""


@dataclass(frozen=True, slots=True)
class BookingIn:
    """One booking; wall times are local to the property, as promised."""

    property: PropertyIn
    people: tuple[PersonIn, ...]
    inspector_id: UUID
    starts: datetime
    hours: int
    purpose: str = "purchase"
    scope: tuple[str, ...] = ()
    decide_by: datetime | None = None
    decide_by_source: str = ""
    agreed_due: datetime | None = None
    fee_cents: int = 0
    access_note: str = ""
    referred_by: str = ""


@transaction.atomic
def book(*, actor: Actor, booking: BookingIn) -> Visit:
    """Book a visit. Raises UnableToBook, or BadInput for a time that does not exist."""
    actor.require("visits.book")
    zone = booking.property.time_zone
    starts_at = moment_of(booking.starts, zone, field="starts")
    ends_at = starts_at + timedelta(hours=booking.hours)
    decide_by = (
        moment_of(booking.decide_by, zone, field="decide_by")
        if booking.decide_by
        else None
    )
    _standard_in_force(actor, booking.property.state)
    inspector = _fit_inspector(actor, booking, starts_at)
    if not any(person.part == Party.As.CLIENT for person in booking.people):
        raise BadInput("Name at least one client.", field="client_name")
    try:
        with transaction.atomic():
            visit = _write(actor, booking, inspector, (starts_at, ends_at), decide_by)
    except IntegrityError as clash:
        if "visit_one_place_at_a_time" not in str(clash):
            raise
        raise UnableToBook(
            f"{inspector.name} has another visit in that time. "
            "Choose another start or another inspector.",
            field="starts",
        ) from clash
    audit.record(
        actor=actor,
        event="visit.booked",
        subject=f"visit:{visit.pk}",
        detail={"number": visit.number, "starts_at": starts_at.isoformat()},
    )
    return visit


def _standard_in_force(actor: Actor, state: str) -> None:
    """Refuse a state whose standard the firm has not checked and switched on."""
    on = StandardInForce.objects.filter(
        firm=actor.firm, pack=state, off_at__isnull=True
    ).exists()
    if not on:
        raise UnableToBook(
            f"The standard of {state} is not switched on for this firm. "
            "The owner checks it under Standards; what is missing is listed there.",
            field="state",
        )


def _fit_inspector(actor: Actor, booking: BookingIn, when: datetime) -> Membership:
    inspector = Membership.objects.filter(
        firm=actor.firm, pk=booking.inspector_id, disabled_at__isnull=True
    ).first()
    if inspector is None or "INSPECTOR" not in inspector.roles:
        raise BadInput("Choose an inspector of the firm.", field="inspector")
    state, day = booking.property.state, when.date()
    licensed = Licence.objects.filter(
        firm=actor.firm,
        membership=inspector,
        state=state,
        valid_from__lte=day,
        expires_on__gte=day,
    ).exists()
    if not licensed:
        raise UnableToBook(
            f"{inspector.name} holds no licence for {state} that is valid on that day.",
            field="inspector",
        )
    return inspector


def _write(
    actor: Actor,
    booking: BookingIn,
    inspector: Membership,
    span: tuple[datetime, datetime],
    decide_by: datetime | None,
) -> Visit:
    house = Property.objects.create(
        firm=actor.firm,
        **{name: getattr(booking.property, name) for name in PropertyIn.__slots__},
    )
    visit = Visit.objects.create(
        firm=actor.firm,
        number=_next_number(actor, span[0]),
        property=house,
        inspector=inspector,
        pack=house.state,
        starts_at=span[0],
        ends_at=span[1],
        span=DateTimeTZRange(*span),
        decide_by_at=decide_by,
        **_particulars(booking),
    )
    for position, person in enumerate(booking.people):
        Party.objects.create(
            firm=actor.firm,
            visit=visit,
            contact=_contact(actor, person),
            part=person.part,
            position=position,
        )
    return visit


def _particulars(booking: BookingIn) -> dict[str, Any]:
    zone = booking.property.time_zone
    agreed = booking.agreed_due
    return {
        "purpose": booking.purpose,
        "scope": list(booking.scope),
        "agreed_wall_time": booking.starts.strftime("%Y-%m-%d %H:%M ") + zone,
        "decide_by_source": booking.decide_by_source,
        "agreed_due_at": moment_of(agreed, zone, field="agreed_due")
        if agreed
        else None,
        "fee_cents": booking.fee_cents,
        "access_note": booking.access_note,
        "referred_by": booking.referred_by,
    }


def _contact(actor: Actor, person: PersonIn) -> Contact:
    """Find the person by e-mail, so that one person stays one contact."""
    if person.email:
        known = Contact.objects.filter(
            firm=actor.firm, email__iexact=person.email, name=person.name
        ).first()
        if known is not None:
            return known
    return Contact.objects.create(
        firm=actor.firm, name=person.name, email=person.email, phone=person.phone
    )


def _next_number(actor: Actor, starts_at: datetime) -> str:
    """Return the next number of the year; the firm's row makes callers queue."""
    type(actor.firm).objects.select_for_update().only("pk").get(pk=actor.firm.pk)
    year = starts_at.year
    count = Visit.objects.filter(
        firm=actor.firm, number__startswith=f"R-{year}-"
    ).count()
    return f"R-{year}-{count + 1:04d}"


@transaction.atomic
def abandon(*, actor: Actor, visit: Visit, because: str) -> None:
    """End a visit that will not be finished; nothing of it is deleted."""
    if not (actor.can("visits.book") or actor.membership == visit.inspector):
        actor.require("visits.book")
    if not because.strip():
        raise BadInput("Say why the visit is abandoned.", field="because")
    move_on(visit, Visit.Status.ABANDONED, but_not={Visit.Status.RELEASED})
    Visit.objects.filter(pk=visit.pk).update(abandoned_because=because.strip())
    audit.record(
        actor=actor,
        event="visit.abandoned",
        subject=f"visit:{visit.pk}",
        detail={"because": because.strip()},
    )


def move_on(
    visit: Visit,
    to: Visit.Status,
    *,
    only_from: set[Visit.Status] | None = None,
    but_not: set[Visit.Status] | None = None,
) -> None:
    """Change the status by a guarded update; raises UnableToMoveOn when it lost."""
    rows = Visit.objects.filter(pk=visit.pk)
    if only_from is not None:
        rows = rows.filter(status__in=only_from)
    if but_not is not None:
        rows = rows.exclude(status__in=but_not)
    if not rows.update(status=to):
        visit.refresh_from_db(fields=["status"])
        raise UnableToMoveOn(
            f"The visit is “{visit.get_status_display()}” by now. Load it again."
        )
    visit.status = to
