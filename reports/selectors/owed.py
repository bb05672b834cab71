"""What holds a report back until it is settled: agreement, fee, a dispute."""

from __future__ import annotations

from datetime import datetime

from findings.standards.due import due_date, legal_date
from findings.standards.loader import pack
from firm.actor import Actor
from inspections.models import Hold, Visit
from reports.models import Override


def law_wants_it_by(visit: Visit) -> datetime | None:
    """Return the earlier of the state's date and the client's own deadline."""
    state = pack(visit.pack)
    due = due_date(
        state,
        visit.ends_at,
        visit.property.time_zone,
        visit.agreed_due_at,
        visit.decide_by_at,
        visit.paid_at,
    )
    dates = [at for at in (legal_date(due, state), visit.decide_by_at) if at]
    return min(dates) if dates else None


def overridden(actor: Actor, visit: Visit) -> dict[str, Override]:
    rows = Override.objects.filter(firm=actor.firm, visit=visit).select_related("by")
    return {row.what: row for row in rows}


def fee_is_owed(actor: Actor, visit: Visit) -> bool:
    """Say whether the firm holds the report for its fee."""
    holds = bool(actor.firm.policy.get("hold_for_payment", True))
    return holds and visit.fee_cents > 0 and visit.paid_at is None


def in_dispute(actor: Actor, visit: Visit) -> bool:
    return Hold.objects.filter(
        firm=actor.firm, visit=visit, ended_at__isnull=True
    ).exists()
