"""A visit's records as they stand: read from the heads beside the log."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import models

from firm.actor import Actor
from inspections.log import fold
from inspections.models import Head, LogRow, Visit


@dataclass(frozen=True, slots=True)
class Standing:
    """Records, open conflicts, and which heads a page shows: its forms' `seen`."""

    records: fold.Folded
    conflicts: fold.Conflicts
    on_screen: Mapping[tuple[str, str], tuple[UUID, ...]]
    version: int

    def seen(self, rec: UUID | str, field: str) -> tuple[UUID, ...]:
        """Return what a form that shows this field has to hand back."""
        return self.on_screen.get((str(rec), field), ())


@dataclass(frozen=True, slots=True)
class SaidRow:
    """One of several values of a field: who said it, when it came in."""

    mutation: UUID
    value: Any
    by: str
    got: datetime


@dataclass(frozen=True, slots=True)
class ConflictRow:
    """A field that two people, or two phones, filled differently."""

    rec: str
    field: str
    said: tuple[SaidRow, ...]


def folded(actor: Actor, visit: Visit) -> tuple[fold.Folded, fold.Conflicts]:
    """Return the records by id and the conflicts apart, in one query."""
    held = fold.view(_heads(actor, visit))
    return held.records, held.conflicts


def standing(actor: Actor, visit: Visit) -> Standing:
    """Return what a page needs that shows records and takes changes to them."""
    return _standing(_heads(actor, visit))


def _standing(heads: Sequence[fold.Entry]) -> Standing:
    held = fold.view(heads)
    on_screen: dict[tuple[str, str], tuple[UUID, ...]] = {}
    for head in heads:
        place = (head["rec"], head["field"])
        on_screen[place] = (*on_screen.get(place, ()), UUID(head["id"]))
    version = max((head["v"] for head in heads), default=0)
    return Standing(held.records, held.conflicts, on_screen, version)


def as_shown(
    actor: Actor, visit: Visit, recs: Iterable[UUID | str], version: int
) -> Standing:
    """Return records as a page showed them when the log stood at `version`.

    One query, whatever was said since: what a form hands back is held against this.
    """
    wanted = models.Q(rec__in=list(recs)) | models.Q(releases__isnull=False)
    rows = LogRow.objects.filter(
        wanted, firm=actor.firm, visit=visit, version__lte=version
    ).values_list(
        "rec", "field", "mutation", "version", "value", "seen", "status", "releases"
    )
    return _standing(
        fold.heads(
            {
                "rec": str(rec),
                "field": field,
                "id": str(mutation),
                "v": row_version,
                "value": value,
                "seen": [str(id_) for id_ in seen or ()],
                "status": "ok" if status == LogRow.Status.OK else "quarantined",
                "release": str(releases) if releases else None,
            }
            for rec, field, mutation, row_version, value, seen, status, releases in rows
        )
    )


def open_conflicts(actor: Actor, visit: Visit) -> list[ConflictRow]:
    """Return each open conflict with its values, people and times, in two queries."""
    heads = _heads(actor, visit)
    places = fold.view(heads).conflicts
    wanted = [head for head in heads if (head["rec"], head["field"]) in places]
    people = {
        str(mutation): (by, got)
        for mutation, by, got in LogRow.objects.filter(
            firm=actor.firm, visit=visit, mutation__in=[head["id"] for head in wanted]
        ).values_list("mutation", "by__name", "got")
    }
    rows: dict[tuple[str, str], list[SaidRow]] = {place: [] for place in places}
    for head in wanted:
        by, got = people[head["id"]]
        rows[head["rec"], head["field"]].append(
            SaidRow(UUID(head["id"]), head["value"], by, got)
        )
    return [ConflictRow(rec, field, tuple(said)) for (rec, field), said in rows.items()]


def _heads(actor: Actor, visit: Visit) -> list[dict[str, Any]]:
    rows = (
        Head.objects.filter(firm=actor.firm, visit=visit)
        .order_by("version")
        .values_list("rec", "field", "mutation", "version", "value", "seen")
    )
    return [
        {
            "rec": str(rec),
            "field": field,
            "id": str(mutation),
            "v": version,
            "value": value,
            "seen": [str(id_) for id_ in seen],
        }
        for rec, field, mutation, version, value, seen in rows
    ]
