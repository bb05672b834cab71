"""Which licence a visit is signed with, and what stands against signing."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from findings.standards import signer
from findings.standards.loader import pack
from firm.actor import Actor
from firm.models import Licence
from inspections.models import Visit


def licence_to_sign(
    actor: Actor, visit: Visit, now: datetime
) -> tuple[Licence | None, list[str]]:
    """Return the inspector's licence by the pack's rule, or why there is none."""
    zone = ZoneInfo(visit.property.time_zone)
    member = visit.inspector
    rows = list(Licence.objects.filter(firm=actor.firm, membership=member))
    held = [signer.License(r.state, r.number, r.valid_from, r.expires_on) for r in rows]
    the_pack = pack(visit.pack)
    visit_on = visit.starts_at.astimezone(zone).date()
    signing_on = now.astimezone(zone).date()
    person = signer.Signatory(member.name, was_on_site=True, licenses=tuple(held))
    reasons = signer.objections(
        the_pack, person, visit_on=visit_on, signing_on=signing_on
    )
    if reasons:
        return None, reasons
    days = (visit_on, signing_on)
    chosen = next(filter(None, (signer.license_for(the_pack, held, d) for d in days)))
    return next(r for r in rows if r.number == chosen.number), []
