"""The form of a state's standard pack; anything unknown in a file is refused."""

from typing import Literal, TypeAlias

import msgspec

Value: TypeAlias = str | int | float | bool
Match: TypeAlias = dict[str, Value | list[Value] | dict[str, float]]
Source: TypeAlias = Literal["found", "memory"]
Verb: TypeAlias = Literal["inspect", "describe", "report", "operate"]
Trigger: TypeAlias = Literal["always", "if_present", "if_found", "if_absent"]
StopKind: TypeAlias = Literal[
    "arrival",
    "outside",
    "roof",
    "garage",
    "service_equipment",
    "room",
    "attic",
    "under_floor",
    "leaving",
]
Part: TypeAlias = Literal["seen", "matters", "action", "when"]
Holder: TypeAlias = Literal[
    "", "agreement", "scope", "ledger", "findings", "parts", "signer", "front"
]


class Strict(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A frozen record that refuses keys it does not know."""


class Sourced(Strict, frozen=True, kw_only=True):
    """A line of a pack: where it stands and whether its text was read."""

    section: str
    source: Source


class Where(Strict, frozen=True, kw_only=True):
    """Records of one kind whose fields match."""

    record: str
    where: Match = {}


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
    rule: Literal["one_per_place", "every"]
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
    per: Literal["house", "stop"] = "house"
    anywhere: bool = False  # no one kind of stop is where it is
    exception: bool = False  # may close with "looked at everything here"
    items: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
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


class Agreement(Sourced, frozen=True, kw_only=True):
    """Who signs what before which step."""

    before: Literal["visit", "payment", "booking"]
    signed_by: Literal["every_client", "one_client"]
    names: tuple[str, ...]
    text: str


class Delivery(Sourced, frozen=True, kw_only=True):
    """When the report is due, and from what it is counted; no days = not known."""

    days: int | None
    unit: Literal["days", "business_days"]
    counted_from: Literal["inspection", "payment", "completion"]
    unless_agreed: bool = False


class CompulsoryPart(Strict, frozen=True, kw_only=True):
    """A part that a deficiency's words must have, and which of ours holds it."""

    id: str
    says: str
    held_in: Part
    least_words: int = 1
    any_of: tuple[str, ...] = ()


class Deficiency(Sourced, frozen=True, kw_only=True):
    """The compulsory parts of a deficiency's words."""

    parts: tuple[CompulsoryPart, ...]


class Compulsory(Strict, frozen=True, kw_only=True):
    """When the summary is compulsory."""

    purposes: tuple[str, ...]
    least_systems: int = 1


class Summary(Sourced, frozen=True, kw_only=True):
    """What belongs on the one front page."""

    compulsory: Compulsory
    holds: tuple[str, ...]
    may_hold: tuple[str, ...] = ()
    refuses: tuple[str, ...] = ()
    notice: str = ""


class Notice(Sourced, frozen=True, kw_only=True):
    """A text fixed by law: an empty, versioned place that the firm fills in."""

    id: str
    version: int
    place: str
    when: str
    about: str
    fill_from: str
    text: str = ""


class Signer(Sourced, frozen=True, kw_only=True):
    """Who signs the report and what stands beside the name."""

    who: Literal["inspector_on_site", "any_licensed"]
    states: tuple[str, ...]
    license_valid_on: Literal["visit", "signing"]


class Sharing(Sourced, frozen=True, kw_only=True):
    """Consent that is needed before anyone but the client reads the report."""

    consent: Literal["written", "any"]
    of: Literal["client"]
    exception: str = msgspec.field(name="except", default="")


class Retention(Sourced, frozen=True, kw_only=True):
    """How long the records are kept."""

    years: int | None
    counted_from: Literal["inspection", "delivery"]
    note: str = ""


class Statement(Sourced, frozen=True, kw_only=True):
    """Something the report must say in a certain case."""

    id: str
    when: str
    must_say: str
    systems: tuple[str, ...] = ()


class Conflict(Sourced, frozen=True, kw_only=True):
    """A rule about interests, payments or referrals."""

    id: str
    rule: str


class Representative(Sourced, frozen=True, kw_only=True):
    """What a representative number is."""

    inside: Literal["one_per_room"]
    outside: Literal["one_per_side", "one_per_place"]


class Pack(Strict, frozen=True, kw_only=True):
    """All that one state asks of an inspection, in one version."""

    pack: str
    version: int
    name: str
    state: str
    authority: str
    edition: str
    coverage: str
    wording: str
    agreement: Agreement
    delivery: Delivery
    deficiency: Deficiency
    summary: Summary
    signer: Signer
    sharing: Sharing
    retention: Retention
    representative: Representative
    duties: tuple[Duty, ...]
    exclusions: tuple[Exclusion, ...] = ()
    definitions: tuple[Definition, ...] = ()
    notices: tuple[Notice, ...] = ()
    statements: tuple[Statement, ...] = ()
    conflicts: tuple[Conflict, ...] = ()

    def duty(self, duty_id: str) -> Duty:
        """Return one duty; KeyError for an unknown id."""
        for duty in self.duties:
            if duty.id == duty_id:
                return duty
        raise KeyError(duty_id)

    def absences(self) -> dict[str, str]:
        """Return the rules whose absence the state wants reported, with the duty."""
        return {
            rule: duty.id
            for duty in self.duties
            if duty.as_deficient and duty.trigger == "if_absent"
            for rule in duty.rules
        }

    def from_memory(self) -> tuple[str, ...]:
        """Return what was not read but recalled: printed only once the firm checked."""
        lines: tuple[Duty | Exclusion | Statement | Notice, ...]
        lines = (*self.duties, *self.exclusions, *self.statements, *self.notices)
        single: dict[str, Sourced] = {
            "agreement": self.agreement,
            "delivery": self.delivery,
            "deficiency": self.deficiency,
            "summary": self.summary,
            "signer": self.signer,
            "sharing": self.sharing,
            "retention": self.retention,
            "representative": self.representative,
        }
        named = tuple(line.id for line in lines if line.source == "memory")
        return named + tuple(k for k, v in single.items() if v.source == "memory")

    def systems(self) -> tuple[str, ...]:
        """Return the systems that have duties answered at a stop, in file order."""
        found = dict.fromkeys(d.system for d in self.duties if not d.held_by)
        return tuple(found)
