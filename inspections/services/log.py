"""Everything that adds to a visit's log: a phone's push, a page's form, a release."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import NAMESPACE_URL, UUID, uuid5

from django.db import IntegrityError
from django.http import Http404
from django.utils import timezone
from uuid6 import uuid7

from firm import audit, canonical
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from firm.selectors.installation import incarnation
from firm.tenancy import bound
from inspections.access import require_recorder, visit_to_record
from inspections.log.fold import GONE, KIND, distinct, same
from inspections.log.mutation import Mutation, Unusable, parse
from inspections.models import Device, Head, LogRow, Visit
from inspections.services import door, projection
from inspections.services.entries import (
    advance,
    append,
    count,
    cursor_of,
    locked,
    words,
)

_CLOCK_LIMIT_S: Final = 2**31 - 1


class UnableToRecord(BadInput):
    """A page's form says something the log does not take; names the field."""

    code = "unable-to-record"


class UnableToRelease(Refusal):
    """What was set apart cannot be let in."""

    code = "not-releasable"


@dataclass(frozen=True, slots=True)
class Change:
    """One field of one record as a page's form has it.

    `seen` holds the heads that were on the page; None stands for those there are now.
    `_gone` with True deletes the record, with False brings it back.
    """

    rec: UUID | str
    field: str
    value: Any
    seen: tuple[UUID, ...] | None = None


@dataclass(frozen=True, slots=True)
class PushResult:
    """What became of one mutation: ok, dup, quarantined, reused, gap or fork."""

    id: UUID
    s: str
    v: int | None = None
    why: str | None = None
    expected: int | None = None


@dataclass(frozen=True, slots=True)
class PushAnswer:
    incarnation: UUID
    results: list[PushResult]
    version: int


def push(
    *,
    actor: Actor,
    visit_id: UUID,
    device: UUID,
    client: str,
    now: datetime | None,
    mutations: Sequence[Mapping[str, Any]],
    received_at: datetime,
) -> PushAnswer:
    """Take a batch, one transaction each, until a gap or a fork stops it.

    Raises Http404 and NotAllowed for those who do not record on the visit, BadInput
    for a mutation without a usable id or number; then nothing of the batch is taken.
    """
    sent = [_parsed(index, item, visit_id) for index, item in enumerate(mutations)]
    with bound(actor.firm.pk):
        visit = visit_to_record(actor, visit_id)
        version = visit.version
    results: list[PushResult] = []
    ours = _claim_device(actor, device, client, now, received_at)
    for mutation in sent:
        if not ours:
            results.append(PushResult(mutation.id, "fork"))
            break
        with bound(actor.firm.pk):
            visit = locked(actor, visit_id)
            require_recorder(actor, visit)
            result = _take(actor, visit, device, mutation, received_at)
            version = visit.version
        results.append(result)
        if result.s in ("gap", "fork"):
            break
    _at_the_door(actor, visit_id, sent, results)
    return PushAnswer(incarnation(), results, version)


def _at_the_door(
    actor: Actor,
    visit_id: UUID,
    sent: Sequence[Mutation],
    results: Sequence[PushResult],
) -> None:
    """Carry signatures and payments over to the booking, once the batch is in."""
    taken = {one.id for one in results if one.s in ("ok", "dup")}
    touched = [one.rec for one in sent if one.id in taken and one.rec]
    if touched:
        with bound(actor.firm.pk):
            held = locked(actor, visit_id)
            door.settle(actor=actor, visit=held, touched=touched)


def record(
    *,
    actor: Actor,
    visit: Visit,
    changes: Sequence[Change],
    device: UUID | None = None,
    now: datetime | None = None,
) -> list[UUID]:
    """Write a form's changes, all or none; return the ids of the entries made.

    A change that says what the log says already makes no entry. Raises NotAllowed, and
    UnableToRecord for what a phone's push would set apart.
    """
    with bound(actor.firm.pk):
        held = locked(actor, visit.pk)
        require_recorder(actor, held)
        used = device or _page_device(actor)
        made = [
            entry
            for change in _with_visit_kind(held, changes)
            if (entry := _record_one(actor, held, used, change, now or timezone.now()))
        ]
    # The caller's copy is read again by the page that follows.
    visit.version, visit.status = held.version, held.status
    return made


def new_id() -> str:
    """Return an id for a new record, as a device makes them."""
    return str(uuid7())


def release_quarantined(*, actor: Actor, visit: Visit, mutation_id: UUID) -> int:
    """Let in an entry that was set apart; return the version of its release.

    Raises NotAllowed, Http404, and UnableToRelease when the log's columns cannot hold
    it, when it would change a record's kind, or when it is in already.
    """
    actor.require("visits.see_all_contents")
    with bound(actor.firm.pk):
        held = locked(actor, visit.pk)
        row = LogRow.objects.filter(
            firm=actor.firm, visit=held, mutation=mutation_id
        ).first()
        if row is None:
            raise Http404
        heads = projection.heads_of_record(held, row.rec) if row.rec else []
        _check_releasable(held, row, heads)
        release = _release_row(actor, held, row)
        projection.apply(held, row, heads)
        audit.record(
            actor=actor,
            event="entry.released",
            subject=f"visit:{held.pk}",
            detail={"mutation": str(mutation_id), "why": row.why},
        )
    visit.version = held.version
    return release.version


def _parsed(index: int, item: Any, visit_id: UUID) -> Mutation:
    try:
        return parse(item, visit_id)
    except Unusable as error:
        field = f"mutations.{index}" + (f".{error.part}" if error.part else "")
        raise BadInput(f"{field}: {error}", field=field) from error


def _claim_device(
    actor: Actor, device: UUID, client: str, now: datetime | None, received_at: datetime
) -> bool:
    """Note the device as this member's; False when it is somebody else's.

    Somebody else's number sequence must not be continued: the answer is a fork, and
    the client takes a new device id.
    """
    offset = round((now - received_at).total_seconds()) if now else None
    if offset is not None and abs(offset) > _CLOCK_LIMIT_S:
        offset = None
    try:
        with bound(actor.firm.pk):
            row, made = Device.objects.get_or_create(
                pk=device,
                firm=actor.firm,
                defaults={
                    "membership_id": actor.member_id,
                    "client": client,
                    "clock_offset_s": offset,
                },
            )
            ours = row.membership_id == actor.member_id
            if (
                ours
                and not made
                and (row.client, row.clock_offset_s)
                != (
                    client,
                    offset,
                )
            ):
                row.client, row.clock_offset_s = client, offset
                row.save(update_fields=["client", "clock_offset_s"])
            return ours
    except IntegrityError:
        # The id exists in a firm whose rows cannot be seen from here.
        return False


def _take(
    actor: Actor,
    visit: Visit,
    device: UUID,
    mutation: Mutation,
    received_at: datetime,
) -> PushResult:
    sent_id = mutation.id
    cursor = cursor_of(visit, device)
    known = _row_of(actor, sent_id)
    if known is not None and known.content_sha256 == mutation.content_sha256:
        if mutation.seq == cursor.last_seq + 1:
            advance(cursor, mutation.seq)
        return PushResult(sent_id, "dup", known.version, known.why or None)
    if known is not None:
        mutation = mutation.under_new_id(device)
        kept = _row_of(actor, mutation.id)
        if kept is not None:
            return PushResult(sent_id, "reused", kept.version, kept.why)
    if mutation.seq <= cursor.last_seq:
        return PushResult(sent_id, "fork")
    if mutation.seq > cursor.last_seq + 1:
        return PushResult(sent_id, "gap", expected=cursor.last_seq + 1)
    row = append(actor, visit, device, mutation, received_at)
    advance(cursor, mutation.seq)
    if known is not None:
        _tell_of_reuse(actor, visit, sent_id, mutation.id)
        return PushResult(sent_id, "reused", row.version, row.why)
    return PushResult(sent_id, row.status, row.version, row.why or None)


def _row_of(actor: Actor, mutation: UUID) -> LogRow | None:
    row: LogRow | None = (
        LogRow.objects.filter(firm=actor.firm, mutation=mutation)
        .only("content_sha256", "version", "why", "status")
        .first()
    )
    return row


def _tell_of_reuse(actor: Actor, visit: Visit, sent: UUID, kept: UUID) -> None:
    # A client that gives one id to two things is broken: the firm should see it.
    audit.record(
        actor=actor,
        event="entry.reused",
        subject=f"visit:{visit.pk}",
        detail={"sent": str(sent), "kept": str(kept)},
    )


def _check_releasable(visit: Visit, row: LogRow, heads: list[Head]) -> None:
    if row.status != LogRow.Status.QUARANTINED:
        raise UnableToRelease("This entry is part of the visit already.")
    if projection.is_released(visit, row.mutation):
        raise UnableToRelease("This entry was let in already.")
    if row.rec is None or not row.field or row.schema == 0:
        raise UnableToRelease(
            "This entry cannot be put into the visit; read it and enter it anew.",
            details=[row.why],
        )
    known = projection.kind_of(visit, row.rec, heads)
    if row.field == KIND and known is not None and not same(known, row.value):
        raise UnableToRelease("A record's kind never changes.")


def _release_row(actor: Actor, visit: Visit, row: LogRow) -> LogRow:
    release = LogRow.objects.create(
        firm=actor.firm,
        visit=visit,
        version=visit.version + 1,
        mutation=UUID(new_id()),
        by_id=actor.member_id,
        got=timezone.now(),
        status=LogRow.Status.OK,
        content_sha256=canonical.digest({"release": str(row.mutation)}),
        releases=row.mutation,
    )
    count(visit, release.version)
    return release


def _page_device(actor: Actor) -> UUID:
    """Return the device that stands for this member's browser pages."""
    device, _ = Device.objects.get_or_create(
        pk=uuid5(NAMESPACE_URL, f"pages:{actor.member_id}"),
        firm=actor.firm,
        defaults={"membership_id": actor.member_id, "client": "pages"},
    )
    pk: UUID = device.pk
    return pk


def _with_visit_kind(visit: Visit, changes: Sequence[Change]) -> list[Change]:
    """Say first what the visit's own record is, when nothing has said so yet."""
    own = str(visit.pk)
    if not any(str(change.rec) == own for change in changes):
        return list(changes)
    return [Change(own, KIND, "visit"), *changes]


def _record_one(
    actor: Actor, visit: Visit, device: UUID, change: Change, now: datetime
) -> UUID | None:
    rec = UUID(str(change.rec))
    heads = projection.heads_of_record(visit, rec)
    of_field = [head for head in heads if head.field == change.field]
    values = distinct(head.value for head in of_field)
    if len(values) == 1 and same(values[0], change.value) and change.field != GONE:
        return None
    # A delete answers for everything of the record that was on the page.
    shown = heads if change.field == GONE and change.value is True else of_field
    seen = [head.mutation for head in shown] if change.seen is None else change.seen
    cursor = cursor_of(visit, device)
    mutation = parse(
        {
            "id": new_id(),
            "seq": cursor.last_seq + 1,
            "rec": str(rec),
            "field": change.field,
            "value": change.value,
            "seen": [str(id_) for id_ in seen],
            "schema": words().schema,
            "at": now.isoformat(),
        },
        visit.pk,
    )
    row = append(actor, visit, device, mutation, now)
    if row.status != LogRow.Status.OK:
        raise UnableToRecord(row.why, field=change.field)
    advance(cursor, mutation.seq)
    return mutation.id
