"""A complaint about a visit: kept as it was said, and a hold with it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from findings.services import asks
from firm import audit
from firm.actor import Actor
from inspections.models import Visit
from reports.models import Complaint


@transaction.atomic
def take(
    *, actor: Actor, visit: Visit, said: Mapping[str, Any], now: datetime
) -> Complaint:
    """Take a complaint down; from then on nothing of the visit may go."""
    actor.require("complaints.take")
    hold = asks.hold_for_complaint(
        actor=actor, visit=visit, because=f"Complaint of {said['said_by']}", now=now
    )
    row = Complaint.objects.create(
        firm=actor.firm,
        visit=visit,
        hold=hold,
        received_on=said["received_on"],
        said_by=said["said_by"],
        how=said["how"],
        words=said["words"],
        insurer_by=said.get("insurer_by"),
        taken_by_id=actor.member_id,
        taken_at=now,
    )
    audit.record(
        actor=actor,
        event="complaint.taken",
        subject=f"visit:{visit.pk}",
        detail={"complaint": str(row.pk), "hold": str(hold.pk)},
    )
    return row
