"""Measuring a review: a page in view beats, and time between beats adds up."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db import transaction

from findings.models import ReviewSitting
from findings.selectors.objections import own_and_not_alone
from firm.actor import Actor
from inspections.models import Visit

# A page beats every 20 s while it is in view; a longer silence was a pause.
PAUSE = timedelta(seconds=75)
OVER = timedelta(minutes=10)
IN_REVIEW = {Visit.Status.HANDED_IN, Visit.Status.WORDS_CHECKED}


@transaction.atomic
def beat(*, actor: Actor, visit: Visit, now: datetime) -> None:
    """Note that somebody who checks words has the visit in view.

    An inspector's own reading is not a review, and a finished one is not measured.
    """
    actor.require("words.review")
    if visit.status not in IN_REVIEW or own_and_not_alone(actor, visit):
        return
    last = (
        ReviewSitting.objects.select_for_update()
        .filter(firm=actor.firm, visit=visit, reader_id=actor.member_id)
        .order_by("-seen_at")
        .first()
    )
    if last is None or now - last.seen_at > OVER:
        ReviewSitting.objects.create(
            firm=actor.firm,
            visit=visit,
            reader_id=actor.member_id,
            opened_at=now,
            seen_at=now,
        )
        return
    passed = now - last.seen_at
    if timedelta(0) < passed <= PAUSE:
        last.seconds += round(passed.total_seconds())
    last.seen_at = max(now, last.seen_at)
    last.save(update_fields=["seconds", "seen_at"])
