"""What a trainee who records beside an inspector leaves to that inspector.

A trainee's entry of this kind is kept like every other, but set apart: the office sees
it, and the visit does not say it.
"""

from __future__ import annotations

from typing import Final

from firm.actor import Actor
from inspections.access import is_supervised
from inspections.log.fold import GONE, KIND
from inspections.log.mutation import Mutation
from inspections.models import LogRow, Visit

# A stop is closed and attested, and the house left, by who answers for the visit.
FIELDS: Final = frozenset(
    {"closed_at", "closed_struck", "closed_minutes", "attested_at", "left_at"}
)
# What is agreed, signed and paid at the door binds the firm.
KINDS: Final = frozenset({"signature", "scope_change", "payment"})


def fault_of(actor: Actor, visit: Visit, mutation: Mutation) -> str | None:
    """Say why a trainee may not write this; None when they may, or are none."""
    if not is_supervised(actor, visit):
        return None
    if mutation.field in FIELDS:
        return f"{mutation.field}: the inspector does this, not a trainee"
    if mutation.field == KIND and mutation.value in KINDS:
        return f"kind: a {mutation.value} is the inspector's, not a trainee's"
    if mutation.field == GONE and _is_anothers(actor, visit, mutation):
        return "_gone: a trainee takes off only what they entered"
    return None


def _is_anothers(actor: Actor, visit: Visit, mutation: Mutation) -> bool:
    made = LogRow.objects.filter(
        firm=actor.firm, visit=visit, rec=mutation.rec, field=KIND
    )
    return made.exclude(by_id=actor.member_id).exists()
