"""A folded visit as the ledger reads it: stops, limits, answers, findings, scope."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal, TypeAlias

from findings.standards import matching
from findings.standards.schema import Duty, Pack

State: TypeAlias = Literal[
    "looked",
    "reported",
    "described",
    "not_inspected",
    "not_present",
    "outside_agreement",
    "open",
]


@dataclass(frozen=True, slots=True)
class Scope:
    """The systems that a visit includes; None is all that the standard has."""

    systems: Collection[str] | None = None

    def covers(self, system: str) -> bool:
        """Say whether the agreement includes a system."""
        return self.systems is None or system in self.systems

    def limited(self, pack: Pack) -> bool:
        """Say whether the visit has to be called limited."""
        return any(not self.covers(system) for system in pack.systems())


@dataclass(frozen=True, slots=True)
class FindingRef:
    """A finding that answers a duty, and the stop where it was made."""

    id: str
    stop: str = ""


@dataclass(frozen=True, slots=True)
class Reply:
    """How one duty stands at one place."""

    state: State
    text: str = ""
    together: bool = False
    tried: int | None = None
    total: int | None = None
    hint: str = ""
    stop: str = ""
    findings: tuple[str, ...] = ()
    said: bool = False  # the text is a person's own, not a sentence of ours


@dataclass(frozen=True, slots=True)
class Visit:
    """What was recorded, arranged for questions about duties."""

    folded: matching.Folded
    scope: Scope
    findings: Mapping[str, Sequence[FindingRef]]
    conflicts: matching.Conflicts = field(default_factory=dict)
    tight: tuple[matching.Record, ...] = ()  # spaces too small to be entered

    def stop_ids(self, duty: Duty) -> tuple[str, ...]:
        """Return the stops of this visit where a duty belongs, by route."""
        return tuple(
            stop_id
            for stop_id, stop in matching.stops_by_route(self.folded)
            if _asked_at(duty, stop)
        )

    def stop(self, stop_id: str) -> matching.Record:
        """Return one stop's record, empty when there is none."""
        return self.folded.get(stop_id, {})

    def kind(self, stop_id: str) -> str:
        """Return the kind of a stop."""
        return str(self.stop(stop_id).get("stop_kind") or "")

    def closed(self, stop_id: str) -> bool:
        """Say whether a stop was closed by the person who stood there."""
        return bool(self.stop(stop_id).get("closed_at"))

    def refs(self, duty: Duty, stops: Sequence[str], *, house: bool) -> tuple[str, ...]:
        """Return the findings that report a duty at these stops."""
        wanted = {"", *stops}
        return tuple(
            ref.id
            for ref in self.findings.get(duty.id, ())
            if house or ref.stop in wanted
        )

    def place_of(self, duty: Duty) -> str:
        """Return the stop that all findings of a duty share, empty for several."""
        stops = {ref.stop for ref in self.findings.get(duty.id, ())}
        return stops.pop() if len(stops) == 1 else ""

    def answers(self, duty: Duty, stops: Sequence[str]) -> list[matching.Record]:
        """Return a person's own answers to a duty at these stops."""
        return [
            {**record, "id": record_id}
            for record_id, record in sorted(self.folded.items())
            if record.get("kind") == "duty"
            and record.get("duty") == duty.id
            and record.get("stop") in {None, "", *stops}
        ]

    def limits(self) -> list[matching.Record]:
        """Return every "one reason, many gaps" record, and every space too tight."""
        said = [r for _, r in sorted(self.folded.items()) if r.get("kind") == "limit"]
        return [*said, *self.tight]

    def in_conflict(self, record_id: str, field_name: str) -> bool:
        """Say whether two people left different values in one field."""
        return (record_id, field_name) in self.conflicts


def _asked_at(duty: Duty, stop: matching.Record) -> bool:
    if duty.count:
        return any(matching.matches(stop, where) for where in duty.count.where)
    kind, use = str(stop.get("stop_kind") or ""), str(stop.get("room_use") or "")
    return duty.belongs(kind, use)


def reach(limit: matching.Record) -> set[str]:
    """Return what a limit reaches: stops, duties and "system:…" keys."""
    return {str(item) for item in limit.get("reach") or []}


def as_int(value: Any) -> int | None:
    """Read a whole number, None for anything else."""
    return value if isinstance(value, int) and not isinstance(value, bool) else None
