"""A re-check visit: chosen findings of an earlier report, looked at once more."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from typing import Final

from django.db import transaction

from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from inspections.access import require_recorder
from inspections.models import Visit
from reports.models import RecheckItem, Release
from reports.services.told import snapshot_of

PURPOSE: Final = "re_check"
# Covers no system of any state's standard: a re-check looks at its items alone.
SCOPE: Final = ("re_check",)


class UnableToRecheck(Refusal):
    """The visit is no re-check, or the earlier report is of another house."""

    code = "unable-to-recheck"


@transaction.atomic
def begin(
    *, actor: Actor, visit: Visit, earlier: Release, numbers: Collection[int]
) -> list[RecheckItem]:
    """Carry the chosen findings of an earlier report over to a re-check visit."""
    actor.require("visits.book")
    if visit.purpose != PURPOSE:
        raise UnableToRecheck("This visit was not booked as a re-check of repairs.")
    if not _same_house(visit, earlier.visit) or earlier.visit_id == visit.pk:
        raise UnableToRecheck("The earlier report is of another house.")
    chosen = [one for one in snapshot_of(earlier).findings if one.number in numbers]
    if not chosen:
        raise BadInput("Choose what is to be looked at again.", field="numbers")
    for one in chosen:
        RecheckItem.objects.get_or_create(
            firm=actor.firm,
            visit=visit,
            finding=one.id,
            defaults={"earlier": earlier, "number": one.number},
        )
    visit.scope = list(SCOPE)
    visit.save(update_fields=["scope"])
    audit.record(
        actor=actor,
        event="recheck.begun",
        subject=f"visit:{visit.pk}",
        detail={"earlier": str(earlier.pk), "findings": sorted(numbers)},
    )
    return list(RecheckItem.objects.filter(visit=visit).order_by("number"))


@transaction.atomic
def look(
    *, actor: Actor, item: RecheckItem, outcome: str, words: str, now: datetime
) -> None:
    """Say how an item was found this time; only who is there says it."""
    require_recorder(actor, item.visit)
    if item.visit.status in {Visit.Status.RELEASED, Visit.Status.ABANDONED}:
        raise UnableToRecheck("This re-check is closed.")
    said = " ".join(words.split())
    if outcome != RecheckItem.Outcome.PUT_RIGHT and not said:
        raise BadInput("Say what was seen, or why it could not be.", field="words")
    item.outcome, item.words, item.looked_at = outcome, said, now
    item.save(update_fields=["outcome", "words", "looked_at"])
    audit.record(
        actor=actor,
        event="recheck.looked",
        subject=f"visit:{item.visit_id}",
        detail={"item": str(item.pk), "outcome": outcome, "words": said},
    )


def _same_house(one: Visit, other: Visit) -> bool:
    mine, theirs = one.property, other.property
    return mine.pk == theirs.pk or (
        mine.street.casefold() == theirs.street.casefold()
        and mine.city.casefold() == theirs.city.casefold()
        and mine.state == theirs.state
    )
