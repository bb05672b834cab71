"""What the firm decided that phones send of a picture."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from django.db import transaction

from firm import audit
from firm.actor import Actor
from firm.errors import BadInput
from firm.models import PHOTO_LONG_EDGE, PHOTO_QUALITY, Firm

_LIMITS = {"long_edge": PHOTO_LONG_EDGE, "quality": PHOTO_QUALITY}


@dataclass(frozen=True, slots=True)
class PhotoPolicy:
    """A working copy's size and quality, and whether the original is kept beside it."""

    originals: bool
    long_edge: int
    quality: int


def of(firm: Firm) -> PhotoPolicy:
    return PhotoPolicy(firm.photo_originals, firm.photo_long_edge, firm.photo_quality)


@transaction.atomic
def decide(*, actor: Actor, policy: PhotoPolicy) -> bool:
    """Put a policy in force for pictures taken from now on; False when it is already.

    Raises NotAllowed, and BadInput for what a report could not be printed from.
    """
    actor.require("firm.decide")
    for field, (least, most) in _LIMITS.items():
        if not least <= getattr(policy, field) <= most:
            raise BadInput(f"It must be from {least} to {most}.", field=field)
    firm = Firm.objects.select_for_update().get(pk=actor.firm.pk)
    before = of(firm)
    if before == policy:
        return False
    firm.photo_originals = policy.originals
    firm.photo_long_edge, firm.photo_quality = policy.long_edge, policy.quality
    firm.save(update_fields=["photo_originals", "photo_long_edge", "photo_quality"])
    audit.record(
        actor=actor,
        event="photo_policy.decided",
        subject=f"firm:{firm.pk}",
        detail={"before": asdict(before), "after": asdict(policy)},
    )
    return True
