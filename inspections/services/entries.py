"""One entry into a visit's log, under the visit's row lock."""

from __future__ import annotations

from datetime import datetime
from functools import cache
from typing import Final
from uuid import UUID

from django.conf import settings
from django.http import Http404

from firm import audit
from firm.actor import Actor
from inspections.access import visible_visits
from inspections.log import vocabulary
from inspections.log.fold import KIND
from inspections.log.mutation import Mutation
from inspections.models import DeviceCursor, Head, LogRow, Visit
from inspections.services import projection, supervision

SEALED: Final = frozenset({Visit.Status.RELEASED, Visit.Status.ABANDONED})
_WHY_LENGTH: Final = 200


@cache
def words() -> vocabulary.Vocabulary:
    """Return what a log may say, read once from the data folder."""
    return vocabulary.load(settings.FIRM_DATA_DIR / "vocabulary" / "records.yaml")


def locked(actor: Actor, visit_id: UUID) -> Visit:
    """Return the visit under its row lock: the first thing every writer takes."""
    visit: Visit | None = (
        visible_visits(actor).select_for_update().filter(pk=visit_id).first()
    )
    if visit is None:
        raise Http404
    return visit


def append(
    actor: Actor,
    visit: Visit,
    device: UUID,
    mutation: Mutation,
    received_at: datetime,
) -> LogRow:
    """Write one entry under the visit's lock: log row, version, number and heads."""
    heads = projection.heads_of_record(visit, mutation.rec) if mutation.rec else []
    fault = mutation.fault or fault_of(visit, mutation, heads)
    fault = fault or supervision.fault_of(actor, visit, mutation)
    row = LogRow(
        firm=actor.firm,
        visit=visit,
        version=visit.version + 1,
        mutation=mutation.id,
        device_id=device,
        seq=mutation.seq,
        by_id=actor.member_id,
        rec=mutation.rec,
        field=mutation.field,
        value=mutation.value,
        seen=list(mutation.seen),
        schema=mutation.schema,
        at=mutation.at,
        got=received_at,
        status=LogRow.Status.QUARANTINED if fault else LogRow.Status.OK,
        why=(fault or "")[:_WHY_LENGTH],
        late=visit.status in SEALED,
        content_sha256=mutation.content_sha256,
        raw=mutation.raw,
    )
    row.save(force_insert=True)
    count(visit, row.version)
    if not fault:
        projection.apply(visit, row, heads)
        _begin(actor, visit)
    return row


def fault_of(visit: Visit, mutation: Mutation, heads: list[Head]) -> str | None:
    """Say why an entry cannot be folded into this visit; None when it can."""
    if mutation.rec is None:
        return "rec: must be a UUID"
    known = projection.kind_of(visit, mutation.rec, heads)
    check = words().check
    problem = check(known, mutation.field, mutation.value, mutation.schema)
    if problem or mutation.field != KIND or known:
        return problem
    if mutation.value == vocabulary.VISIT:
        return "kind: a visit has one record of this kind, under its own id"
    # Entries of this record that came before its kind have to fit it.
    return next(
        (
            f"kind: does not fit what the record holds ({misfit})"
            for head in heads
            if (misfit := check(mutation.value, head.field, head.value, 1))
        ),
        None,
    )


def cursor_of(visit: Visit, device: UUID) -> DeviceCursor:
    """Return how far the device has counted on this visit, under the visit's lock."""
    cursor: DeviceCursor = DeviceCursor.objects.get_or_create(
        firm_id=visit.firm_id, visit=visit, device_id=device
    )[0]
    return cursor


def advance(cursor: DeviceCursor, seq: int) -> None:
    cursor.last_seq = seq
    cursor.save(update_fields=["last_seq"])


def count(visit: Visit, version: int) -> None:
    visit.version = version
    visit.save(update_fields=["version"])


def _begin(actor: Actor, visit: Visit) -> None:
    if visit.status != Visit.Status.BOOKED:
        return
    visit.status = Visit.Status.UNDER_WAY
    visit.save(update_fields=["status"])
    audit.record(actor=actor, event="visit.begun", subject=f"visit:{visit.pk}")
