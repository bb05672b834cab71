"""What a state asks beside the house: agreement, dates, words, people, records."""

from typing import Literal, TypeAlias

import msgspec

from findings.standards.schema_base import Part, Sourced, Strict, Where

Space: TypeAlias = Literal["under_floor", "attic", "deck_underside", "any"]
Unit: TypeAlias = Literal["days", "business_days", ""]


class SendWithin(Strict, frozen=True, kw_only=True):
    """How soon after the booking the agreement has to go out."""

    business_days: int
    counted_from: Literal["booking"] = msgspec.field(name="from")


class Agreement(Sourced, frozen=True, kw_only=True):
    """Who signs what before which step; before `none`: the state asks for none."""

    before: Literal["visit", "payment", "none"]
    signed_by: Literal["every_client", "one_client", "client_and_firm"]
    names: tuple[str, ...]
    text: str
    send_within: SendWithin | None = None


class Delivery(Sourced, frozen=True, kw_only=True):
    """When the report is due, and from what it is counted; no days = not known.

    Counted from `payment`: payment in full, or the end of the visit if paid before.
    """

    days: int | None
    unit: Unit
    counted_from: Literal["inspection", "payment", "completion"]
    unless_agreed: bool = False


class CompulsoryPart(Strict, frozen=True, kw_only=True):
    """A part that a deficiency's words must have, and which of ours holds it."""

    id: str
    says: str
    held_in: Part
    least_words: int = 1
    any_of: tuple[str, ...] = ()


class Reserved(Strict, frozen=True, kw_only=True):
    """A word that a state keeps for certain findings.

    `as_deficient`: those that answer a condition which the state names so;
    `legal_test`: those that meet the legal test the state sets.
    """

    word: str
    kept_for: Literal["as_deficient", "legal_test"] = msgspec.field(name="for")


class Deficiency(Sourced, frozen=True, kw_only=True):
    """The compulsory parts of a deficiency's words, and the words kept for it."""

    parts: tuple[CompulsoryPart, ...]
    reserved: tuple[Reserved, ...] = ()


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
    least_points: int = 0  # the type size that the law asks for
    bold: bool = False


class Signer(Sourced, frozen=True, kw_only=True):
    """Who signs the report and what stands beside the name."""

    who: Literal["inspector_on_site", "any_licensed"]
    states: tuple[str, ...]
    license_valid_on: Literal["visit", "signing"]
    contributors: bool = False  # everybody who took part is named with a number
    supervisors: bool = False


class Sharing(Sourced, frozen=True, kw_only=True):
    """Consent that is needed before anyone but the client reads the report."""

    consent: Literal["written", "any"]
    of: Literal["client"]
    exception: str = msgspec.field(name="except", default="")


class Retention(Sourced, frozen=True, kw_only=True):
    """How long the records are kept; no years = not confirmed, so for good."""

    years: int | None
    counted_from: Literal["inspection", "delivery", "completion"]
    after_hold_years: int | None = None  # counted anew from the end of a dispute
    note: str = ""


class Statement(Sourced, frozen=True, kw_only=True):
    """Something the report must say in a certain case, and our sentence for it."""

    id: str
    when: str
    must_say: str
    sentence: str = ""
    always: bool = False
    systems: tuple[str, ...] = ()
    arises: tuple[Where, ...] = ()
    findings: tuple[str, ...] = ()  # a finding by a rule or passage that begins so
    unless: tuple[Where, ...] = ()


class Conflict(Sourced, frozen=True, kw_only=True):
    """A rule about interests, payments or referrals, and the gate that holds it."""

    id: str
    rule: str
    gate: Literal["", "disclose_before_signing", "second_payer", "repair_ban"] = ""
    consent: Literal["", "disclosure", "written"] = ""
    years: int = 0


class Representative(Sourced, frozen=True, kw_only=True):
    """What a representative number is."""

    inside: Literal["one_per_room", "judgment", "all", ""]
    outside: Literal["one_per_side", "one_per_place", "judgment", "all", ""]


class AccessLimit(Sourced, frozen=True, kw_only=True):
    """Least measures, in inches, from which a state asks that a space is entered."""

    id: str
    space: Space
    needs: dict[str, float]  # a field of a space's stop, and the least inches


class Supervision(Sourced, frozen=True, kw_only=True):
    """How many first visits a trainee makes under direct supervision."""

    inspections: int


class Presence(Sourced, frozen=True, kw_only=True):
    """Who must have been at the house."""

    who: Literal["responsible_inspector"]


class CodeFamily(Sourced, frozen=True, kw_only=True):
    """Which family of codes houses are built by; nothing where towns choose."""

    text: str
    plumbing: Literal["", "IPC", "UPC"] = ""
    mechanical: Literal["", "IMC", "UMC"] = ""


class Asks(Strict, frozen=True, kw_only=True):
    """What one state asks beside the house: as far as it is known."""

    state: str
    name: str
    authority: str
    agreement: Agreement | None = None
    delivery: Delivery | None = None
    deficiency: Deficiency | None = None
    summary: Summary | None = None
    signer: Signer | None = None
    sharing: Sharing | None = None
    retention: Retention | None = None
    representative: Representative | None = None
    supervision: Supervision | None = None
    presence: Presence | None = None
    code_family: CodeFamily | None = None
    each_page: tuple[str, ...] = ()
    notices: tuple[Notice, ...] = ()
    statements: tuple[Statement, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    access_limits: tuple[AccessLimit, ...] = ()
