"""Who may sign a visit: its inspector, or a stand-in by the state's rule."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from findings.standards import signer
from findings.standards.loader import pack
from firm.actor import Actor
from firm.models import Licence, Membership
from inspections.models import LogRow, Visit


def licence_to_sign(
    actor: Actor, visit: Visit, now: datetime, member: Membership | None = None
) -> tuple[Licence | None, list[str]]:
    """Return a signer's licence by the pack's rule, or why there is none.

    Without a member the visit's own inspector is asked about.
    """
    zone = ZoneInfo(visit.property.time_zone)
    who = member or visit.inspector
    rows = list(Licence.objects.filter(firm=actor.firm, membership=who))
    held = [signer.License(r.state, r.number, r.valid_from, r.expires_on) for r in rows]
    the_pack = pack(visit.pack)
    visit_on = visit.starts_at.astimezone(zone).date()
    signing_on = now.astimezone(zone).date()
    there = was_there(actor, visit, who)
    person = signer.Signatory(who.name, was_on_site=there, licenses=tuple(held))
    reasons = signer.objections(
        the_pack, person, visit_on=visit_on, signing_on=signing_on
    )
    if reasons:
        return None, reasons
    days = (visit_on, signing_on)
    chosen = next(filter(None, (signer.license_for(the_pack, held, d) for d in days)))
    return next(r for r in rows if r.number == chosen.number), []


def was_there(actor: Actor, visit: Visit, member: Membership) -> bool:
    """Say whether somebody was at the house: its inspector, or who recorded there."""
    if member.pk == visit.inspector_id:
        return True
    return LogRow.objects.filter(firm=actor.firm, visit=visit, by=member).exists()
