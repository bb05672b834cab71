"""The form of a state's standard pack; anything unknown in a file is refused."""

from typing import Literal

from findings.standards.schema_asks import (
    AccessLimit,
    Agreement,
    Asks,
    Conflict,
    Deficiency,
    Delivery,
    Notice,
    Representative,
    Retention,
    Sharing,
    Signer,
    Statement,
)
from findings.standards.schema_base import (
    Holder,
    Match,
    Sourced,
    StopKind,
    Strict,
    Trigger,
    Verb,
    Where,
)

# Parts of a pack that are one line each.
PARTS = (
    "agreement",
    "delivery",
    "deficiency",
    "summary",
    "signer",
    "sharing",
    "retention",
    "representative",
    "supervision",
    "presence",
    "code_family",
)


class Answer(Where, frozen=True, kw_only=True):
    """Records that answer a describing duty, and the sentence they give."""

    text: str
    needs: tuple[str, ...] = ()
    each: bool = False  # every matching record must hold the fields


class Hindrance(Where, frozen=True, kw_only=True):
    """Records that turn a duty into "not inspected", and the field with the reason."""

    reason: str


class Count(Strict, frozen=True, kw_only=True):
    """How many of something were tried, stop by stop."""

    what: str
    # `judged`: the state gives no number; how many were tried is still recorded.
    rule: Literal["one_per_place", "every", "judged"]
    tried: str
    where: tuple[Match, ...]
    seen: str = ""
    unreachable: str = ""


class Tested(Where, frozen=True, kw_only=True):
    """Records that each want a test result in one of the fields."""

    fields: tuple[str, ...]
    done: tuple[str, ...]
    what: str


class Duty(Sourced, frozen=True, kw_only=True):
    """One thing the standard asks, and how a visit answers it."""

    id: str
    system: str
    item: str
    duty: Verb
    trigger: Trigger
    text: str
    basis: Literal["", "breakdown", "absent"] = ""
    as_deficient: bool = False
    held_by: Holder = ""  # the application holds it, not a stop
    stops: tuple[StopKind, ...] = ()
    rooms: tuple[str, ...] = ()  # of the stops that are rooms, only those of this use
    per: Literal["house", "stop"] = "house"
    anywhere: bool = False  # no one kind of stop is where it is
    # May close with "looked at everything here": a thing to inspect, or a condition
    # that the same look would have shown.
    exception: bool = False
    items: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    any_year: tuple[str, ...] = ()  # of an if_found line: deficient whatever the year
    answered_by: tuple[Answer, ...] = ()
    present: tuple[Where, ...] = ()
    requires: tuple[Where, ...] = ()
    requires_hint: str = ""
    unless: tuple[Hindrance, ...] = ()
    must_report: tuple[Where, ...] = ()
    must_report_hint: str = ""
    arises: tuple[Where, ...] = ()
    count: Count | None = None
    tested: Tested | None = None

    @property
    def condition(self) -> bool:
        """Say whether this is a condition to be reported where it is met."""
        return self.duty == "report" and self.trigger in ("if_found", "if_absent")

    @property
    def whatever_year(self) -> tuple[str, ...]:
        """Return the rules and passages that are deficient whatever the year."""
        absent = self.rules if self.trigger == "if_absent" else ()
        return tuple(dict.fromkeys((*absent, *self.any_year)))

    def belongs(self, stop_kind: str, room_use: str) -> bool:
        """Say whether this is asked at such a stop."""
        narrow = bool(self.rooms) and stop_kind == "room"
        return stop_kind in self.stops and (not narrow or room_use in self.rooms)


class Exclusion(Sourced, frozen=True, kw_only=True):
    """What the standard does not ask for: explains a limit, closes nothing."""

    id: str
    system: str
    item: str
    text: str


class Definition(Sourced, frozen=True, kw_only=True):
    """A word the standard defines."""

    term: str
    meaning: str


class Pack(Asks, frozen=True, kw_only=True):
    """All that one state asks of an inspection, in one version."""

    pack: str
    version: int
    edition: str
    coverage: str
    wording: str
    agreement: Agreement
    delivery: Delivery
    deficiency: Deficiency
    signer: Signer
    sharing: Sharing
    retention: Retention
    representative: Representative
    duties: tuple[Duty, ...]
    exclusions: tuple[Exclusion, ...] = ()
    definitions: tuple[Definition, ...] = ()

    def duty(self, duty_id: str) -> Duty:
        """Return one duty; KeyError for an unknown id."""
        for duty in self.duties:
            if duty.id == duty_id:
                return duty
        raise KeyError(duty_id)

    def absences(self) -> dict[str, str]:
        """Return the rules and passages that are deficient whatever the year.

        These are the absences that the state wants reported and the conditions it
        names outright, each with every duty that says so.
        """
        found: dict[str, list[str]] = {}
        for duty in self.duties:
            if duty.as_deficient:
                for key in duty.whatever_year:
                    found.setdefault(key, []).append(duty.id)
        return {key: ", ".join(ids) for key, ids in found.items()}

    def from_memory(self) -> tuple[str, ...]:
        """Return what was not read but recalled: printed only once the firm checked.

        Lines that have no id of their own are named by state and part: "NC:retention".
        """
        return tuple(
            name for name, line in self.lines().items() if line.source == "memory"
        )

    def lines(self) -> dict[str, Sourced]:
        """Return every sourced line by the name under which the firm checks it."""
        own: tuple[Duty | Exclusion | Statement | Notice | Conflict | AccessLimit, ...]
        own = (
            *self.duties,
            *self.exclusions,
            *self.statements,
            *self.notices,
            *self.conflicts,
            *self.access_limits,
        )
        found: dict[str, Sourced] = {self.line_name(line.id): line for line in own}
        for part in PARTS:
            line = getattr(self, part)
            if line is not None:
                found[f"{self.pack}:{part}"] = line
        return found

    def line_name(self, line_id: str) -> str:
        """Return an id that no other state uses."""
        prefixed = line_id.startswith(f"{self.pack}-")
        return line_id if prefixed else f"{self.pack}:{line_id}"

    def systems(self) -> tuple[str, ...]:
        """Return the systems that have duties answered at a stop, in file order."""
        found = dict.fromkeys(d.system for d in self.duties if not d.held_by)
        return tuple(found)
