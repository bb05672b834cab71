"""One visit as its field pages stand on it: what it holds, means, and is called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import Http404
from django.urls import reverse
from uuid6 import uuid7

from findings.selectors.evaluation import Evaluation, evaluate
from findings.selectors.field.routes import value_words
from firm.actor import Actor
from inspections.log.route import in_order
from inspections.models import Visit
from inspections.selectors.heads import visit_head
from inspections.selectors.proofs import proof_words
from inspections.selectors.rows import VisitHead

Record = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Ground:
    """A visit, who looks at it, what it holds, and where its pages are."""

    actor: Actor
    visit: Visit
    seen: Evaluation
    shown: int  # the log's version that these records are at least as new as
    head: VisitHead

    @property
    def records(self) -> Mapping[str, Record]:
        return self.seen.records

    @property
    def own(self) -> Record:
        """Return the visit's own record."""
        return self.records.get(str(self.visit.pk), {})

    def url(self, name: str, *args: object) -> str:
        return reverse(name, args=[self.actor.firm.slug, self.visit.pk, *args])

    def stops(self) -> list[tuple[str, Record]]:
        """Return the stops in the order of the route."""
        return in_order(self.seen.of_kind("stop"))

    def of(self, kind: str, rec: UUID | str) -> Record:
        """Return a record of one kind. Raises Http404."""
        record = self.records.get(str(rec), {})
        if record.get("kind") != kind:
            raise Http404
        return record

    def at(self, stop: str, kind: str) -> list[tuple[str, Record]]:
        """Return the records of a kind at one stop."""
        return [(k, r) for k, r in self.seen.of_kind(kind) if r.get("stop") == stop]

    def stop_of(self, record: Record) -> str:
        """Return the stop that a record belongs to, spaces by their enclosure."""
        if record.get("kind") == "space":
            record = self.records.get(str(record.get("enclosure") or ""), {})
        return str(record.get("stop") or "")

    def apart(self, rec: UUID | str, *fields: str) -> tuple[str, ...]:
        """Return the values of a record that two devices said differently, in words."""
        return tuple(
            f"{field.replace('_', ' ')}: {' or '.join(map(value_words, values))}"
            for (record, field), values in sorted(self.seen.conflicts.items())
            if record == str(rec) and (not fields or field in fields)
        )

    def clock(self, instant: object) -> str:
        """Return a recorded instant by the house's clock: 9:05 am."""
        try:
            at = datetime.fromisoformat(str(instant))
        except ValueError:
            return ""
        zone = ZoneInfo(self.visit.property.time_zone)
        return at.astimezone(zone).strftime("%I:%M %p").lstrip("0").lower()


def ground(actor: Actor, visit: Visit) -> Ground:
    """Read and understand a visit; the same few queries whatever it holds."""
    return Ground(
        actor=actor,
        visit=visit,
        # Taken before the records: what came in between counts as not shown.
        shown=visit.version,
        seen=evaluate(actor, visit),
        head=visit_head(actor, visit, "visit-read", proof_words(actor, visit)),
    )


def new_id() -> str:
    """Return an id for a record that a form may write, as a device makes them."""
    return str(uuid7())


def place_words(stop: Record) -> str:
    """Return where a stop is: "kitchen, first floor, rear left"."""
    name = str(stop.get("name") or "").lower()
    use = value_words(stop.get("room_use") or "")
    floor = str(stop.get("floor") or "")
    floor = {"": "", "attic": "attic"}.get(floor, value_words(floor))
    if floor in {"first", "second", "third"}:
        floor += " floor"
    corner = value_words(stop.get("corner") or "")
    told = [part for part in (use, floor, corner) if part and part not in name]
    return ", ".join(told)
