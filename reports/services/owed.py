"""What is still owed before a report goes, and the owner's word over it."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final

from django.db import IntegrityError, transaction

from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from inspections.models import Visit
from reports.models import Override, Release, TakenBack
from reports.selectors.owed import law_wants_it_by

NEAR: Final = timedelta(hours=24)


class UnableToOverride(Refusal):
    """No date of the law collides with what is owed."""

    code = "unable-to-override"


@transaction.atomic
def override(
    *, actor: Actor, visit: Visit, what: str, because: str, now: datetime
) -> Override:
    """Let a report go although the fee or a signature is still owed.

    Only the owner may, only where the date by which the law wants the report, or the
    client's own deadline, is less than a day away or past, and with a reason.
    """
    actor.require("reports.override")
    said = " ".join(because.split())
    if not said:
        raise BadInput("Say why it goes all the same.", field="because")
    due = law_wants_it_by(visit)
    if due is None or due - now > NEAR:
        raise UnableToOverride(
            "No date of the law and no deadline of the client falls within a day: "
            "hold the report until the fee is paid and the agreement signed."
        )
    try:
        with transaction.atomic():
            row = Override.objects.create(
                firm=actor.firm,
                visit=visit,
                what=what,
                because=said,
                due_at=due,
                by_id=actor.member_id,
                at=now,
            )
    except IntegrityError as twice:
        if "override_once" not in str(twice):
            raise
        raise UnableToOverride("That was decided already.") from twice
    audit.record(
        actor=actor,
        event="release.hold_overridden",
        subject=f"visit:{visit.pk}",
        detail={"what": what, "because": said, "due": due.isoformat()},
    )
    return row


@transaction.atomic
def take_back(
    *, actor: Actor, release: Release, because: str, now: datetime
) -> TakenBack:
    """Show an issue through no link any more; a further issue opens them again."""
    actor.require("reports.take_back")
    said = " ".join(because.split())
    if not said:
        raise BadInput("Say why it is taken back.", field="because")
    row, made = TakenBack.objects.get_or_create(
        firm=actor.firm,
        release=release,
        defaults={"because": said, "by_id": actor.member_id, "at": now},
    )
    if made:
        audit.record(
            actor=actor,
            event="release.taken_back",
            subject=f"release:{release.pk}",
            detail={"because": said},
        )
    return row
