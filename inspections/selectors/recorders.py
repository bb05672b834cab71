"""Who records on a visit, and who wrote which of its records."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from firm.actor import Actor
from firm.models import Membership, Role
from inspections.log.fold import KIND
from inspections.models import Companion, LogRow, Visit


@dataclass(frozen=True, slots=True)
class Recorder:
    """One who records: the inspector, or somebody beside; a trainee is supervised."""

    member: UUID
    user: UUID
    name: str
    inspector: bool
    trainee: bool


def recorders(visit: Visit) -> list[Recorder]:
    """Return the inspector, then who goes along, by name."""
    beside = (
        Companion.objects.filter(firm=visit.firm_id, visit=visit)
        .exclude(member_id=visit.inspector_id)
        .select_related("member")
        .order_by("member__name")
    )
    return [
        _recorder(visit, one)
        for one in (visit.inspector, *(row.member for row in beside))
    ]


def _recorder(visit: Visit, member: Membership) -> Recorder:
    inspector = member.pk == visit.inspector_id
    return Recorder(
        member=member.pk,
        user=member.user_id,
        name=member.name,
        inspector=inspector,
        trainee=not inspector and Role.TRAINEE in member.roles,
    )


def trainees_of(actor: Actor, visit: Visit) -> Mapping[str, str]:
    """Return the name of the trainee who began each record, in one query."""
    rows = LogRow.objects.filter(
        firm=actor.firm,
        visit=visit,
        field=KIND,
        status=LogRow.Status.OK,
        by__roles__contains=[Role.TRAINEE],
    ).exclude(by_id=visit.inspector_id)
    found: dict[str, str] = {}
    for rec, name in rows.order_by("version").values_list("rec", "by__name"):
        found.setdefault(str(rec), name)
    return found


def in_training(name: str, visit: Visit) -> str:
    """Say in words who recorded something, and under whose eyes."""
    return f"{name}, in training, beside {visit.inspector.name}"


def as_told(row: Recorder) -> dict[str, Any]:
    """Return what a phone takes along of one who records."""
    return {
        "member": row.member,
        "name": row.name,
        "inspector": row.inspector,
        "trainee": row.trainee,
    }
