"""Finished rows of the booking and agreement pages."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from itertools import groupby
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.urls import reverse

from firm.actor import Actor
from firm.models import Firm, Licence, Membership, Role, StandardInForce
from inspections.access import visible_visits
from inspections.models import (
    Agreement,
    AgreementSignature,
    Party,
    Property,
    Visit,
)
from inspections.selectors.booking_pages import (
    AgreementPage,
    BookingDayRow,
    BookingListPage,
    BookingNewPage,
    BookingPage,
    BookingRow,
    CompanionRow,
    SignerRow,
)
from inspections.selectors.heads import visit_head
from inspections.selectors.proofs import proof_words
from inspections.selectors.recorders import recorders
from inspections.selectors.rows import FactRow
from inspections.selectors.words import moment

IN_TRAINING = "in training: records, and signs nothing"
SHOWN = timedelta(days=14)
ZONES = (
    ("America/New_York", "Eastern"),
    ("America/Chicago", "Central"),
    ("America/Denver", "Mountain"),
    ("America/Phoenix", "Mountain, no summer time"),
    ("America/Los_Angeles", "Pacific"),
    ("America/Anchorage", "Alaska"),
    ("Pacific/Honolulu", "Hawaii"),
)
FORM_FIELDS = {
    "starts": "starts_at",
    "decide_by": "decide_by_at",
    "inspector": "inspector",
    "client_name": "client_name",
}


def list_page(actor: Actor, day: str, now: datetime) -> BookingListPage:
    """Two weeks of bookings from a day, by day; four queries however many."""
    first = _day(day) or now.astimezone(ZoneInfo(actor.firm.time_zone)).date()
    zone = ZoneInfo(actor.firm.time_zone)
    start = datetime.combine(first, datetime.min.time(), zone)
    visits = list(
        visible_visits(actor)
        .filter(starts_at__gte=start, starts_at__lt=start + SHOWN)
        .select_related("property", "inspector")
        .order_by("starts_at")
    )
    unsigned = _unsigned(actor, visits)
    days = groupby(visits, key=lambda visit: _local(visit).date())
    base = reverse("booking-list", args=[actor.firm.slug])
    return BookingListPage(
        days=tuple(
            BookingDayRow(on, tuple(_row(actor, v, unsigned) for v in those))
            for on, those in days
        ),
        new_url=reverse("booking-new", args=[actor.firm.slug]),
        earlier_url=f"{base}?day={first - SHOWN}",
        later_url=f"{base}?day={first + SHOWN}",
    )


def _row(actor: Actor, visit: Visit, unsigned: dict[Any, int]) -> BookingRow:
    waiting = unsigned.get(visit.pk, 0)
    state = visit.get_status_display()
    if waiting and visit.status == Visit.Status.BOOKED:
        state = "1 client has not signed" if waiting == 1 else f"{waiting} not signed"
    return BookingRow(
        url=reverse("booking-read", args=[actor.firm.slug, visit.pk]),
        time=_clock(_local(visit)),
        address=visit.property.street,
        town=visit.property.city,
        inspector=visit.inspector.name,
        state=state,
        has_open=bool(waiting),
    )


def _unsigned(actor: Actor, visits: Sequence[Visit]) -> dict[Any, int]:
    """How many clients of each visit have not signed yet."""
    ids = [visit.pk for visit in visits]
    counts: dict[Any, int] = {}
    for visit_id in Party.objects.filter(
        firm=actor.firm, visit__in=ids, part=Party.As.CLIENT
    ).values_list("visit_id", flat=True):
        counts[visit_id] = counts.get(visit_id, 0) + 1
    for visit_id in AgreementSignature.objects.filter(
        firm=actor.firm, agreement__visit__in=ids, signed_at__isnull=False
    ).values_list("agreement__visit_id", flat=True):
        counts[visit_id] = counts.get(visit_id, 0) - 1
    return counts


def form_choices(actor: Actor) -> dict[str, Any]:
    """Return the firm's inspectors and the zones offered, its own first."""
    members = Membership.objects.filter(
        firm=actor.firm, disabled_at__isnull=True
    ).order_by("name")
    inspectors = [(str(m.pk), m.name) for m in members if "INSPECTOR" in m.roles]
    own = actor.firm.time_zone
    zones = sorted(ZONES, key=lambda pair: pair[0] != own)
    return {"inspectors": inspectors, "zones": zones}


def form_field(field: str | None) -> str | None:
    return FORM_FIELDS.get(field or "")


def new_page(actor: Actor) -> BookingNewPage:
    return BookingNewPage(list_url=reverse("booking-list", args=[actor.firm.slug]))


def booking_page(
    actor: Actor, visit: Visit, links: Sequence[Sequence[str]]
) -> BookingPage:
    """One booking as the office sees it; `links` are fresh signing addresses."""
    parties = list(
        Party.objects.filter(firm=actor.firm, visit=visit)
        .select_related("contact")
        .order_by("position", "contact__name")
    )
    signatures = {
        row.party_id: row
        for row in AgreementSignature.objects.filter(
            firm=actor.firm, agreement__visit=visit
        )
    }
    signers = tuple(
        _signer(party, signatures.get(party.pk), visit)
        for party in parties
        if party.part == Party.As.CLIENT
    )
    text = frozen_text(visit)
    everybody_signed = bool(text) and all(row.signed for row in signers)
    return BookingPage(
        head=visit_head(actor, visit, "booking-read", proof_words(actor, visit)),
        facts=_facts(actor, visit),
        people=tuple(_person(party) for party in parties),
        signers=signers,
        agreement_text=text,
        send_url=""
        if everybody_signed
        else reverse("agreement-send", args=[actor.firm.slug, visit.pk]),
        links=tuple(FactRow(name, address) for name, address in links),
        due=_decide_by(visit),
        **_going_along(actor, visit),
    )


def _going_along(actor: Actor, visit: Visit) -> dict[str, Any]:
    """Return who records beside the inspector, and who else may be named."""
    there = [one for one in recorders(visit) if not one.inspector]
    taken = {visit.inspector_id, *(one.member for one in there)}
    able = Membership.objects.filter(
        firm=actor.firm,
        disabled_at__isnull=True,
        roles__overlap=[Role.INSPECTOR, Role.TRAINEE],
    ).exclude(pk__in=taken)
    slug = actor.firm.slug
    return {
        "companions": tuple(
            CompanionRow(
                str(one.member), one.name, IN_TRAINING if one.trainee else "records too"
            )
            for one in there
        ),
        "may_go": tuple(
            CompanionRow(str(one.pk), one.name, _training(one))
            for one in able.order_by("name")
        ),
        "name_url": reverse("companion-name", args=[slug, visit.pk]),
        "off_url": reverse("companion-off", args=[slug, visit.pk]),
    }


def _training(member: Membership) -> str:
    return IN_TRAINING if Role.TRAINEE in member.roles else ""


def _facts(actor: Actor, visit: Visit) -> tuple[FactRow, ...]:
    house = visit.property
    facts = [
        FactRow("Number", visit.number),
        FactRow("State", visit.get_status_display()),
        FactRow("Inspector", visit.inspector.name),
        FactRow("Until", _clock(visit.ends_at.astimezone(ZoneInfo(house.time_zone)))),
        FactRow("Building", house.get_kind_display()),
    ]
    if house.built_from:
        to = (
            f"–{house.built_to}"
            if house.built_to not in {None, house.built_from}
            else ""
        )
        facts.append(FactRow("Built", f"{house.built_from}{to}", house.built_source))
    if house.floor_area_ft2:
        facts.append(FactRow("Floor area", f"{house.floor_area_ft2:,} ft²"))
    if visit.access_note:
        facts.append(FactRow("Way in", visit.access_note))
    if actor.can("visits.see_fee") and visit.fee_cents:
        facts.append(FactRow("Fee", f"${visit.fee_cents // 100:,}"))
    if actor.can("visits.see_referral") and visit.referred_by:
        facts.append(FactRow("Sent by", visit.referred_by))
    return tuple(facts)


def _person(party: Party) -> FactRow:
    ways = [party.contact.email, party.contact.phone]
    reach = ", ".join(way for way in ways if way)
    value = f"{party.contact.name}, {reach}" if reach else party.contact.name
    return FactRow(party.get_part_display(), value)


def _signer(party: Party, row: AgreementSignature | None, visit: Visit) -> SignerRow:
    zone = visit.property.time_zone
    if row is None:
        state = "not asked yet"
    elif row.signed_at is None:
        state = "asked, not signed yet"
    else:
        state = f"signed {moment(row.signed_at, zone)}, {row.signed_how}"
    return SignerRow(
        name=party.contact.name,
        state=state,
        email=party.contact.email,
        signed=row is not None and row.signed_at is not None,
    )


def _decide_by(visit: Visit) -> str:
    if visit.decide_by_at is None:
        return ""
    said = f" ({visit.decide_by_source})" if visit.decide_by_source else ""
    when = moment(visit.decide_by_at, visit.property.time_zone)
    return f"the client must decide by {when}{said}"


def frozen_text(visit: Visit) -> str:
    row = Agreement.objects.filter(visit=visit).first()
    return row.text if row else ""


def draft_agreement(actor: Actor, visit: Visit) -> str:
    """Return the firm's agreement with this visit's particulars filled in."""
    template = str(actor.firm.policy.get("agreement") or "") or (
        settings.FIRM_DATA_DIR / "words" / "agreement.txt"
    ).read_text(encoding="utf-8")
    clients = (
        Party.objects.filter(firm=actor.firm, visit=visit, part=Party.As.CLIENT)
        .select_related("contact")
        .order_by("position")
    )
    licence = Licence.objects.filter(
        firm=actor.firm, membership=visit.inspector, state=visit.property.state
    ).first()
    house = visit.property
    blanks = {
        "firm": actor.firm.name,
        "clients": " and ".join(p.contact.name for p in clients),
        "address": _one_line(house),
        "visit_at": moment(visit.starts_at, house.time_zone),
        "inspector": visit.inspector.name,
        "license": licence.number if licence else "",
        "fee": _fee_words(visit),
        **_standard_words(actor, visit),
    }
    for name, value in blanks.items():
        template = template.replace("{{" + name + "}}", str(value))
    return template


def _one_line(house: Property) -> str:
    return f"{house.street}, {house.city}, {house.state} {house.postcode}".strip()


def _fee_words(visit: Visit) -> str:
    if not visit.fee_cents:
        return "to be told before the visit"
    return f"${visit.fee_cents / 100:,.2f}"


def _standard_words(actor: Actor, visit: Visit) -> dict[str, str]:
    """Say by which standard the visit is made and when its report comes.

    From the standard as the firm put it in force, unless the firm words it itself.
    """
    row = StandardInForce.objects.filter(firm=actor.firm, pack=visit.pack).order_by(
        "-on_at"
    )
    said = row.values_list("said", flat=True).first() or {}
    own = actor.firm.policy
    return {
        "state": str(said.get("name") or visit.pack),
        "standards": str(
            own.get("standards") or said.get("standards") or "as in force on that day"
        ),
        "due": str(own.get("due_words") or said.get("due") or "on the day agreed here"),
    }


def sent_words(asked: Sequence[Any]) -> str:
    names = [one.party.contact.name for one in asked if one.token]
    if not names:
        return "Everybody has signed already."
    return f"The agreement was sent to {' and '.join(names)}."


def unmailed(asked: Sequence[Any], address: str) -> list[list[str]]:
    """Signing addresses of clients without e-mail, to be read to them once."""
    return [
        [f"Link for {one.party.contact.name}", f"{address}/s/{one.token}"]
        for one in asked
        if one.token and not one.party.contact.email
    ]


def agreement_page(firm: Firm, row: AgreementSignature) -> AgreementPage:
    """Return the agreement as one client reads it."""
    visit = row.agreement.visit
    house = visit.property
    others = Party.objects.filter(visit=visit, part=Party.As.CLIENT).exclude(
        pk=row.party_id
    )
    signed = ""
    if row.signed_at is not None:
        when = moment(row.signed_at, house.time_zone)
        signed = f"Signed by {row.signed_name} on {when}"
    return AgreementPage(
        firm_name=firm.name,
        client=row.party.contact.name,
        address=f"{house.street}, {house.city}",
        when=moment(visit.starts_at, house.time_zone),
        text=row.agreement.text,
        firm_lines=(*firm.address.splitlines(), firm.phone),
        signed=signed,
        others=tuple(p.contact.name for p in others.select_related("contact")),
    )


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _local(visit: Visit) -> datetime:
    return visit.starts_at.astimezone(ZoneInfo(visit.property.time_zone))


def _clock(local: datetime) -> str:
    return local.strftime("%I:%M %p").lstrip("0").lower()
