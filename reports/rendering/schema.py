"""The shape of a release's snapshot, version 1: all a report may say."""

from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from reports.rendering.fields import (
    Consequence,
    Count,
    Instant,
    Key,
    Line,
    Named,
    Part,
    PhotoKind,
    Pixels,
    Ref,
    Sha256,
    SpaceKind,
    Standing,
    Text,
    Timing,
    Trade,
)
from reports.rendering.schema_beside import Age, Attached, Earlier, Rechecked


class Pair(Part, frozen=True, kw_only=True):
    label: Named
    text: Text


class Replaced(Part, frozen=True, kw_only=True):
    issue: Annotated[int, Meta(ge=1)]
    issued_local: Named
    reason: Named
    asked_by: Line
    changes: tuple[Text, ...] = ()


class Firm(Part, frozen=True, kw_only=True):
    name: Named
    address_lines: Annotated[tuple[Named, ...], Meta(min_length=1)]
    phone: Line = ""
    email: Line = ""


class Built(Part, frozen=True, kw_only=True):
    text: Line
    source: Line = ""


class Property(Part, frozen=True, kw_only=True):
    address_lines: Annotated[tuple[Named, ...], Meta(min_length=1)]
    kind: Line
    description: Text = ""
    built: Built


class Attended(Part, frozen=True, kw_only=True):
    name: Named
    role: Line


class Weather(Part, frozen=True, kw_only=True):
    now: Line = ""
    lately: Line = ""
    ground: Line = ""
    outside: Line = ""
    inside: Line = ""


class Instrument(Part, frozen=True, kw_only=True):
    name: Named
    serial: Line = ""
    calibrated: Line = ""
    note: Line = ""


class Visit(Part, frozen=True, kw_only=True):
    date_local: Named
    arrived_local: Line
    left_local: Line
    zone: Named
    purpose: Key
    purpose_words: Named
    scope_words: Text
    attended: tuple[Attended, ...] = ()
    weather: Weather = Weather()
    front_faces: Line = ""
    occupied: Line = ""
    instruments: tuple[Instrument, ...] = ()


class Looker(Part, frozen=True, kw_only=True):
    name: Named
    licence: Line
    state: Line
    expires: Line
    role: Named
    signed_local: Line = ""


class WordsChecker(Part, frozen=True, kw_only=True):
    name: Named
    licence: Line = ""
    visited: bool
    same_person: bool


class People(Part, frozen=True, kw_only=True):
    looked_by: Annotated[tuple[Looker, ...], Meta(min_length=1)]
    words_checked_by: WordsChecker
    clients: Annotated[tuple[Named, ...], Meta(min_length=1)]


class Front(Part, frozen=True, kw_only=True):
    """The one front summary; order and notice come from the state's pack."""

    title: Named
    notice: Text | None = None
    intro: Text = ""
    items: tuple[Ref, ...] = ()


class Words(Part, frozen=True, kw_only=True):
    seen: Text
    matters: Text
    action: Text
    when: Text


class Finding(Part, frozen=True, kw_only=True):
    id: Ref
    number: Annotated[int, Meta(ge=1, le=9_999)]
    place: Named
    place_id: Ref
    system: Named
    system_key: Key
    item: Line
    consequence: Consequence
    timing: Timing
    trade: Trade
    sentence: Named
    words: Words
    age_note: Text = ""
    state_says: Line = ""
    photos: tuple[Ref, ...] = ()
    in_front: bool = False
    places: tuple[Ref, ...] = ()
    author: Line = ""


class Limit(Part, frozen=True, kw_only=True):
    text: Named
    reason: Text
    places: tuple[Line, ...] = ()
    what_you_can_do: Text = ""


class Place(Part, frozen=True, kw_only=True):
    id: Ref
    name: Named
    kind: Line
    floor: Line = ""
    corner: Line = ""
    method_words: Text = ""
    looked: tuple[Text, ...] = ()
    findings: tuple[Ref, ...] = ()
    photos: tuple[Ref, ...] = ()
    limits: tuple[Limit, ...] = ()


class System(Part, frozen=True, kw_only=True):
    key: Key
    label: Named
    described: tuple[Pair, ...] = ()
    looked: tuple[Text, ...] = ()
    counts: tuple[Text, ...] = ()
    findings: tuple[Ref, ...] = ()


class Space(Part, frozen=True, kw_only=True):
    number: Annotated[int, Meta(ge=1, le=84)]
    kind: SpaceKind
    amps: Annotated[int, Meta(ge=1, le=400)] | None = None
    poles: Annotated[int, Meta(ge=1, le=3)] = 1
    size: Line = ""
    material: Line = ""
    how: Line = ""
    label: Line = ""
    state: Standing = ""
    protection: Line = ""
    findings: tuple[Ref, ...] = ()


class Panel(Part, frozen=True, kw_only=True):
    id: Ref
    name: Named
    role_words: Line
    place: Line
    fed_from: Line = ""
    main: Line = ""
    bus: Line = ""
    volts: Line = ""
    conductor: Line = ""
    columns: Annotated[int, Meta(ge=1, le=2)] = 2
    size: Annotated[int, Meta(ge=0, le=84)] = 0
    spaces: tuple[Space, ...] = ()
    notes: tuple[Text, ...] = ()
    findings: tuple[Ref, ...] = ()


class OddReceptacle(Part, frozen=True, kw_only=True):
    where: Named
    lamps_words: Line = ""
    protection_words: Line = ""
    finding: Ref | None = None


class ReceptacleRow(Part, frozen=True, kw_only=True):
    place: Named
    seen: Count
    tried: Count
    correct: Count
    not_reachable: Count
    odd: tuple[OddReceptacle, ...] = ()


class ReceptacleTotals(Part, frozen=True, kw_only=True):
    seen: Count = 0
    tried: Count = 0
    correct: Count = 0
    not_reachable: Count = 0


class Receptacles(Part, frozen=True, kw_only=True):
    rows: tuple[ReceptacleRow, ...] = ()
    totals: ReceptacleTotals = ReceptacleTotals()
    note: Text = ""


class Alarm(Part, frozen=True, kw_only=True):
    place: Named
    kind: Named
    power: Line = ""
    made: Line = ""
    tried: Line = ""
    finding: Ref | None = None


class Measurement(Part, frozen=True, kw_only=True):
    what: Named
    where: Line
    value_text: Named
    instrument: Line = ""
    how_known: Line
    indicative: bool = False


class OlderRule(Part, frozen=True, kw_only=True):
    title: Named
    text: Text
    settle: Text = ""


class Told(Part, frozen=True, kw_only=True):
    """What someone said on the day: told, not checked."""

    text: Text
    by: Line = ""
    to: Line = ""


class Urgent(Part, frozen=True, kw_only=True):
    what: Text
    told: Line = ""
    told_local: Line = ""
    left_off: Line = ""
    finding: Ref | None = None


class AsLeft(Part, frozen=True, kw_only=True):
    what: Named
    found: Line = ""
    left: Line = ""
    put_back: bool = True


class Rendition(Part, frozen=True, kw_only=True):
    sha256: Sha256
    width: Pixels
    height: Pixels


class Renditions(Part, frozen=True, kw_only=True):
    large: Rendition
    print: Rendition
    thumb: Rendition


class Photo(Part, frozen=True, kw_only=True):
    id: Ref
    original_sha256: Sha256
    caption: Text
    place: Ref
    kind: PhotoKind
    taken_local: Line = ""
    marked: bool = False
    renditions: Renditions


class Term(Part, frozen=True, kw_only=True):
    term: Named
    meaning: Text


class Signature(Part, frozen=True, kw_only=True):
    name: Named
    role: Line
    licence: Line = ""
    signed_at: Instant
    signed_local: Named
    meaning: Text = ""


class Versions(Part, frozen=True, kw_only=True):
    """Everything that shaped the words, frozen so the report can be explained later."""

    software: Line
    pack: Line = ""
    ruleset: Line = ""
    timeline: Line = ""
    passages: Line = ""
    words: Line = ""
    templates: Line = ""


class Chain(Part, frozen=True, kw_only=True):
    """This release's place in the firm's chain; prev is empty for the first."""

    seq: Annotated[int, Meta(ge=1)]
    prev: Annotated[str, Meta(pattern=r"^([0-9a-f]{64})?$")]


class Snapshot(Part, frozen=True, kw_only=True):
    schema: Literal[1]
    kind: Key
    number: Named
    issue: Annotated[int, Meta(ge=1, le=9_999)]
    issued_at: Instant
    issued_local: Named
    language: Annotated[str, Meta(pattern=r"^[a-z]{2}(-[A-Z]{2})?$")] = "en-US"
    replaces: Replaced | None = None
    firm: Firm
    property: Property
    visit: Visit
    people: People
    front: Front
    findings: tuple[Finding, ...] = ()
    places: tuple[Place, ...] = ()
    systems: tuple[System, ...] = ()
    limits: tuple[Limit, ...] = ()
    panels: tuple[Panel, ...] = ()
    receptacles: Receptacles = Receptacles()
    alarms: tuple[Alarm, ...] = ()
    measurements: tuple[Measurement, ...] = ()
    older_rules: tuple[OlderRule, ...] = ()
    told: tuple[Told, ...] = ()
    urgent: tuple[Urgent, ...] = ()
    as_left: tuple[AsLeft, ...] = ()
    photos: tuple[Photo, ...] = ()
    cover_photo: Ref | None = None
    cautions: tuple[Text, ...] = ()
    disclosures: tuple[Text, ...] = ()
    glossary: tuple[Term, ...] = ()
    signatures: tuple[Signature, ...] = ()
    ages: tuple[Age, ...] = ()
    ages_source: Line = ""
    attachments: tuple[Attached, ...] = ()
    rechecked: tuple[Rechecked, ...] = ()
    earlier: Earlier | None = None
    versions: Versions
    chain: Chain
    # Random, so that the digest of a snapshot tells nobody which names are in it.
    salt: Line = ""


def to_builtins(snapshot: Snapshot) -> dict[str, Any]:
    """Return plain dictionaries, lists, strings and numbers."""
    plain: dict[str, Any] = msgspec.to_builtins(snapshot, builtin_types=())
    return plain
