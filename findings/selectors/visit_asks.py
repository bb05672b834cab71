"""What the state asks of one visit beside the house, and how each of it stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from findings.standards import agreed, conflicts, retention
from findings.standards.due import Due, due_date, waits_for_payment
from findings.standards.loader import pack
from findings.standards.schema import Pack
from firm.actor import Actor
from inspections.models import AgreementSignature, Hold, Interest, Party, Visit
from inspections.selectors.words import moment

# What an interest of the firm may be, with its words.
INTERESTS = tuple((str(value), str(label)) for value, label in Interest.Kind.choices)


@dataclass(frozen=True, slots=True)
class AskLine:
    """One thing the state asks, in words: what, how it stands, whether it presses."""

    label: str
    text: str
    presses: bool = False
    unread: bool = False  # recalled, not read; the firm has to check it


def signing_of(actor: Actor, visit: Visit) -> agreed.Signing:
    """Return when the agreement went out and who signed when."""
    rows = {
        row.party_id: row
        for row in AgreementSignature.objects.filter(
            firm=actor.firm, agreement__visit=visit
        ).select_related("agreement")
    }
    clients = Party.objects.filter(firm=actor.firm, visit=visit, part=Party.As.CLIENT)
    sent = next((row.agreement.made_at for row in rows.values()), None)
    return agreed.Signing(
        booked_at=visit.created_at,
        sent_at=sent,
        clients=tuple(
            rows[party.pk].signed_at if party.pk in rows else None for party in clients
        ),
    )


def promised(visit: Visit) -> Due:
    """Return the earliest of the state's, the agreed and the client's date."""
    return due_date(
        pack(visit.pack),
        visit.ends_at,
        visit.property.time_zone,
        visit.agreed_due_at,
        visit.decide_by_at,
        visit.paid_at,
    )


def promised_words(visit: Visit) -> str:
    """Say by when the report is promised and by which line."""
    due = promised(visit)
    waits = waits_for_payment(pack(visit.pack), visit.paid_at)
    later = " The state's days begin with payment in full." if waits else ""
    if due.at is None:
        return f"No date is promised.{later}"
    when = moment(due.at, visit.property.time_zone)
    return f"Promised by {when}: {due.lines[0].says}{'.' if later else ''}{later}"


def interests_of(actor: Actor, visit: Visit) -> list[Interest]:
    """Return what was recorded of the firm's interests, oldest first."""
    rows = Interest.objects.filter(firm=actor.firm, visit=visit)
    return list(rows.order_by("recorded_at", "pk"))


def objections(the_pack: Pack, rows: list[Interest]) -> list[str]:
    """Return what an interest still needs before a signature or a release."""
    told = [
        conflicts.Interest(
            kind=row.kind,  # type: ignore[arg-type]  # the choices are the same list
            text=row.text,
            told_on=row.told_at.date() if row.told_at else None,
            consented=row.consent_at is not None,
        )
        for row in rows
    ]
    return [
        *conflicts.before_signing(the_pack, told),
        *conflicts.second_payers(the_pack, told),
    ]


def kept_of(
    actor: Actor, visit: Visit, *, delivered_at: datetime | None
) -> retention.Kept:
    """Return until when the visit's records are kept."""
    zone = ZoneInfo(visit.property.time_zone)
    holds = [
        retention.Hold(
            row.placed_at.astimezone(zone).date(),
            row.ended_at.astimezone(zone).date() if row.ended_at else None,
        )
        for row in Hold.objects.filter(firm=actor.firm, visit=visit)
    ]
    return retention.kept(
        pack(visit.pack),
        inspected_on=_day(visit, visit.starts_at),
        delivered_on=_day(visit, delivered_at) if delivered_at else None,
        holds=holds,
    )


def lines(
    actor: Actor, visit: Visit, *, delivered_at: datetime | None
) -> list[AskLine]:
    """Return what the state asks of this visit, line by line."""
    the_pack, signing = pack(visit.pack), signing_of(actor, visit)
    return [
        _agreement(the_pack, visit, signing),
        AskLine(
            "Report", promised_words(visit), unread=_recalled(the_pack, "delivery")
        ),
        _conflicts(the_pack, interests_of(actor, visit)),
        *_repairs(the_pack, visit),
        _sharing(the_pack),
        _kept(the_pack, kept_of(actor, visit, delivered_at=delivered_at)),
    ]


def _agreement(the_pack: Pack, visit: Visit, signing: agreed.Signing) -> AskLine:
    waits = agreed.waits(the_pack, signing, "start")
    text = waits or the_pack.agreement.text
    if agreed.signed_late(the_pack, signing, visit.starts_at):
        text = f"{text} Somebody signed only after the visit was to begin."
    return AskLine("Agreement", text, bool(waits), _recalled(the_pack, "agreement"))


def _conflicts(the_pack: Pack, rows: list[Interest]) -> AskLine:
    against = objections(the_pack, rows)
    if against:
        return AskLine("Interests", " ".join(against), presses=True)
    said = "; ".join(row.text for row in rows)
    return AskLine(
        "Interests", f"Told in writing: {said}" if said else "None recorded."
    )


def _repairs(the_pack: Pack, visit: Visit) -> list[AskLine]:
    until = conflicts.repairs_barred_until(the_pack, _day(visit, visit.starts_at))
    if until is None:
        return []
    text = (
        "Nobody of the firm or its affiliates repairs, replaces or upgrades for pay "
        f"what is inspected, until {_said(until)}."
    )
    return [AskLine("Repairs by us", text)]


def _sharing(the_pack: Pack) -> AskLine:
    rule = the_pack.sharing
    text = (
        "Only the client reads the report, unless the client agrees in writing"
        if rule.consent == "written"
        else "The client says who else may read the report"
    )
    if rule.exception:
        text = f"{text}; save for {rule.exception}"
    return AskLine("Sharing", f"{text}.", unread=_recalled(the_pack, "sharing"))


def _kept(the_pack: Pack, kept: retention.Kept) -> AskLine:
    text = (
        f"Kept at least until {_said(kept.until)}: {kept.because}."
        if kept.until
        else f"Kept for good: {kept.because}."
    )
    return AskLine("Records", text, unread=_recalled(the_pack, "retention"))


def _recalled(the_pack: Pack, part: str) -> bool:
    return bool(getattr(the_pack, part).source == "memory")


def _day(visit: Visit, at: datetime) -> date:
    return at.astimezone(ZoneInfo(visit.property.time_zone)).date()


def _said(day: date) -> str:
    return f"{day:%B} {day.day}, {day.year}"
