"""The same for every firm of the installation, for its operator and by the clock."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from firm.actor import Actor
from firm.mail import send
from firm.models import Firm, Membership, Role
from firm.tenancy import bound
from reports.services.evidence import anchors, walk
from reports.services.evidence.anchors import Anchor


def faults(kept: Sequence[Anchor]) -> Iterator[tuple[str, list[walk.Fault]]]:
    for firm in Firm.objects.order_by("slug"):
        yield firm.slug, list(walk.faults(Actor.system(firm), kept))


def heads(now: datetime) -> Iterator[Anchor]:
    for firm in Firm.objects.order_by("slug"):
        with bound(firm.pk):
            yield from anchors.now_held(Actor.system(firm), now)


def mail_heads(now: datetime) -> int:
    """Mail each firm's heads to its owners; that is how they leave the house."""
    sent = 0
    for firm in Firm.objects.order_by("slug"):
        with bound(firm.pk):
            held = anchors.now_held(Actor.system(firm), now)
            owners = Membership.objects.filter(
                firm=firm, disabled_at__isnull=True, roles__contains=[Role.OWNER]
            ).exclude(email="")
            for owner in owners if held else ():
                send(
                    firm=firm,
                    to=owner.email,
                    template="reports/mail/anchors",
                    context={"firm": firm, "lines": anchors.written(held)},
                )
                sent += 1
    return sent
