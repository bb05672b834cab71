"""The heads of a visit's log, kept beside it: written with each entry, never alone."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from inspections.log.fold import KIND
from inspections.models import Head, LogRow, Visit


def heads_of_record(visit: Visit, rec: UUID) -> list[Head]:
    """Return the heads of one record, oldest version first."""
    return list(
        Head.objects.filter(firm=visit.firm_id, visit=visit, rec=rec).order_by(
            "version"
        )
    )


def kind_of(visit: Visit, rec: UUID, heads: Iterable[Head]) -> str | None:
    """Return what the record is, as far as the log says; the visit's own is given."""
    if rec == visit.pk:
        return "visit"
    found = [head.value for head in heads if head.field == KIND]
    return found[0] if found else None


def apply(visit: Visit, row: LogRow, heads: Iterable[Head]) -> None:
    """Let an entry cover what its author saw, and stand unless it is covered itself."""
    seen = set(row.seen)
    covered = [
        head.pk for head in heads if head.field == row.field and head.mutation in seen
    ]
    if covered:
        Head.objects.filter(firm=visit.firm_id, pk__in=covered).delete()
    if not _is_covered(visit, row):
        Head.objects.create(
            firm_id=visit.firm_id,
            visit=visit,
            rec=_rec(row),
            field=row.field,
            mutation=row.mutation,
            version=row.version,
            value=row.value,
            seen=row.seen,
        )


def _rec(row: LogRow) -> UUID:
    if row.rec is None:
        raise ValueError(f"{row} names no record")
    return row.rec


def _is_covered(visit: Visit, row: LogRow) -> bool:
    """Say whether something that arrived earlier has already replaced this entry.

    It happens after a restore, when devices send again in another order, and when an
    entry that was set apart is let in after its author went on.
    """
    coverers = LogRow.objects.filter(
        firm=visit.firm_id,
        visit=visit,
        rec=row.rec,
        field=row.field,
        seen__contains=[row.mutation],
    )
    return any(
        other.status == LogRow.Status.OK or is_released(visit, other.mutation)
        for other in coverers.only("status", "mutation")
    )


def is_released(visit: Visit, mutation: UUID) -> bool:
    return LogRow.objects.filter(
        firm=visit.firm_id, visit=visit, releases=mutation
    ).exists()
