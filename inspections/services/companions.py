"""Who goes along to a visit beside its inspector."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction

from firm import audit
from firm.actor import Actor
from firm.capabilities import of
from firm.errors import BadInput
from firm.models import Membership
from inspections.models import Companion, Visit


@transaction.atomic
def name(*, actor: Actor, visit: Visit, member_id: UUID) -> Companion:
    """Let a member record beside the inspector; a repeat adds nothing.

    Raises NotAllowed, and BadInput for somebody who does not record, or is the
    inspector of the visit.
    """
    actor.require("visits.book")
    member = Membership.objects.filter(
        firm=actor.firm, pk=member_id, disabled_at__isnull=True
    ).first()
    if member is None or "visits.record" not in of(frozenset(member.roles)):
        raise BadInput("Choose an inspector or a trainee of the firm.", field="member")
    if member.pk == visit.inspector_id:
        raise BadInput("That is the inspector of this visit.", field="member")
    row, made = Companion.objects.get_or_create(
        firm=actor.firm, visit=visit, member=member
    )
    if made:
        audit.record(
            actor=actor,
            event="companion.named",
            subject=f"visit:{visit.pk}",
            detail={"member": str(member.pk), "name": member.name},
        )
    companion: Companion = row
    return companion


@transaction.atomic
def take_off(*, actor: Actor, visit: Visit, member_id: UUID) -> None:
    """End it; what they recorded stays theirs. A repeat changes nothing."""
    actor.require("visits.book")
    gone, _ = Companion.objects.filter(
        firm=actor.firm, visit=visit, member_id=member_id
    ).delete()
    if gone:
        audit.record(
            actor=actor,
            event="companion.taken_off",
            subject=f"visit:{visit.pk}",
            detail={"member": str(member_id)},
        )
