"""Rows of the review and signing pages: what templates under findings/ print."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from inspections.selectors.rows import (
    FactRow,
    OpenLine,
    PhotoRow,
    VisitHead,
)


@dataclass(frozen=True, slots=True)
class ReviewVisitRow:
    """A visit that waits for the words to be checked, earliest promise first."""

    url: str
    address: str
    town: str
    inspector: str
    promised: str  # "promised by Thu 12 March, 5 pm"
    state: str  # "9 of 22 findings checked"
    note: str = ""
    later: tuple[str, ...] = ()  # the dates after the earliest one
    presses: str = ""  # "The date has passed.", "Less than four hours are left."


@dataclass(frozen=True, slots=True)
class ReviewListPage:
    waiting: tuple[ReviewVisitRow, ...]
    with_others: tuple[ReviewVisitRow, ...] = ()  # named for somebody else
    with_inspector: tuple[ReviewVisitRow, ...] = ()
    how_url: str = ""


@dataclass(frozen=True, slots=True)
class TextRun:
    """A run of words; `remark` is the number of the remark at them, 0 for none."""

    text: str
    remark: int = 0


@dataclass(frozen=True, slots=True)
class PartRow:
    """One of the four parts of a finding's words."""

    key: str  # seen, matters, action, when
    label: str
    now: str
    runs: tuple[TextRun, ...] = ()
    before: str = ""  # as handed in, where it reads otherwise now
    changed: bool = False


@dataclass(frozen=True, slots=True)
class RemarkRow:
    """A remark of the wording checks, numbered as at the words."""

    number: int
    part: str
    about: str
    message: str


@dataclass(frozen=True, slots=True)
class NoteRow:
    """A note on a finding, a photo, a duty or the visit, with its answer."""

    note_id: str
    about: str
    by: str
    when: str
    text: str
    answer: str = ""
    answered_by: str = ""
    settle_url: str = ""  # POST answer; empty once settled or not theirs to settle
    photo: PhotoRow | None = None  # what the note is about, where that is a picture


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """A change of substance and where it stands."""

    change_id: str
    label: str  # "How soon"
    before: str
    after: str
    reason: str
    by: str
    asked_by: str  # "asked by the client", empty for nobody
    state: str  # "waits for Ines Quill", "accepted", "refused"
    answer_url: str = ""  # POST answer=yes|no, for the inspector


@dataclass(frozen=True, slots=True)
class RevisionRow:
    """One earlier state of the words in the history."""

    number: int
    by: str
    when: str
    asked_by: str
    parts: tuple[PartRow, ...] = ()


@dataclass(frozen=True, slots=True)
class RuleRow:
    """Where a finding comes from, for the firm only."""

    name: str
    because: str
    margin: str = ""
    certainty: str = ""
    edition: str = ""
    decided_by: str = ""
    source: str = ""
    provenance: str = ""
    cautions: tuple[str, ...] = ()
    trace: tuple[str, ...] = ()
    inspector: str = ""  # "Changed by Ines Quill: before you close, because …"
    url: str = ""  # its page in the rules book


@dataclass(frozen=True, slots=True)
class ReviewFindingRow:
    """A finding as the client will read it, with its state in the margin."""

    number: int
    title: str
    level: str  # the printed sentence of consequence, trade and timing
    parts: tuple[PartRow, ...]
    url: str
    state: str
    places: tuple[str, ...] = ()
    photos: tuple[PhotoRow, ...] = ()
    age_note: str = ""
    remarks: int = 0
    notes: int = 0
    waits: bool = False
    changed: bool = False
    version: int = 1
    check_url: str = ""  # POST version: the words pass, here on the visit's page
    passes: str = ""  # by the firm's policy nobody has to read this
    why_read: str = ""  # why a person reads it, where the policy lets others pass
    facts: tuple[FactRow, ...] = ()
    rule: RuleRow | None = None
    note_url: str = ""
    recorded: str = ""  # who recorded it, where that was a trainee


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """The findings of one place, in the order of the report."""

    name: str
    findings: tuple[ReviewFindingRow, ...]


@dataclass(frozen=True, slots=True)
class LinkRow:
    """Some words and where they lead."""

    words: str
    url: str


@dataclass(frozen=True, slots=True)
class LedgerPlaceRow:
    """The coverage ledger at one place; open sentences stand apart."""

    place: str
    open: tuple[OpenLine, ...] = ()
    lines: tuple[str, ...] = ()
    duties: tuple[LinkRow, ...] = ()  # each line of the standard here, to note on


@dataclass(frozen=True, slots=True)
class ReviewPage:
    """A visit as the client will read it."""

    head: VisitHead
    inspector: str
    promised: str
    places: tuple[PlaceRow, ...]
    facts: tuple[FactRow, ...] = ()
    front: tuple[str, ...] = ()  # what the front page will say, by the pack's rule
    ledger: tuple[LedgerPlaceRow, ...] = ()
    after_leaving: tuple[str, ...] = ()
    loose_photos: tuple[PhotoRow, ...] = ()
    set_aside: tuple[FactRow, ...] = ()  # proposals not used, with the reason
    withdrawn: tuple[FactRow, ...] = ()  # findings taken out, with who and when
    questions: tuple[FactRow, ...] = ()  # what rules still ask for
    notes: tuple[NoteRow, ...] = ()
    note_url: str = ""  # POST
    finish_url: str = ""  # POST: the visit goes to the inspector
    stands_against: tuple[str, ...] = ()
    note_about: str = ""  # what the note's form is about, in words
    beat_url: str = ""  # POST: this person has the visit in view
    others: str = ""  # who else has it open
    turn: str = ""  # for whom it is named
    turn_url: str = ""  # POST TurnForm
    turn_choices: tuple[tuple[str, str], ...] = ()
    passing: int = 0  # findings that pass by the firm's policy
    earlier: tuple[FactRow, ...] = ()  # earlier visits to the same house
    hazards: tuple[str, ...] = ()  # what could hurt somebody, told on the day
    stand_in_url: str = ""  # where somebody signs in the inspector's place
    urgent_url: str = ""  # where their notices are frozen and kept
    left: int = 0  # findings that a person still has to read
    next: int = 0  # the number of the finding to read now
    training: tuple[FactRow, ...] = ()  # stops at which a trainee recorded


@dataclass(frozen=True, slots=True)
class SimilarRow:
    """A finding of another visit that came about in the same way."""

    number: str  # of the visit
    when: str
    inspector: str
    level: str
    seen: str
    url: str


@dataclass(frozen=True, slots=True)
class FindingPage:
    """One finding: words beside photos, facts, rule; the edit form is `form`."""

    head: VisitHead
    review_url: str
    number: int
    of: int
    title: str
    level: str
    state: str
    parts: tuple[PartRow, ...]
    facts: tuple[FactRow, ...] = ()
    rule: RuleRow | None = None
    photos: tuple[PhotoRow, ...] = ()
    places: tuple[str, ...] = ()
    age_note: str = ""
    recorded: str = ""  # who recorded it, where that was a trainee
    remarks: tuple[RemarkRow, ...] = ()
    changes: tuple[ChangeRow, ...] = ()
    notes: tuple[NoteRow, ...] = ()
    history: tuple[RevisionRow, ...] = ()
    theirs: tuple[PartRow, ...] = ()  # the newer words, when somebody was quicker
    words_url: str = ""  # POST WordsForm
    remarks_url: str = ""  # POST the same, answered with remarks while it is typed
    change_url: str = ""  # POST SubstanceForm
    note_url: str = ""  # POST NoteForm
    return_url: str = ""  # POST ReturnForm
    hand_back_url: str = ""  # POST, the inspector has looked at what came back
    check_url: str = ""  # POST version
    version: int = 1
    levels: Mapping[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    stands_against: tuple[str, ...] = ()
    earlier_url: str = ""
    later_url: str = ""
    similar: tuple[SimilarRow, ...] = ()
    similar_said: str = ""  # how often, and at which levels, over the firm
    beat_url: str = ""
    others: str = ""

    @property
    def changed(self) -> bool:
        """Say whether any words differ from how they were handed in."""
        return any(part.changed for part in self.parts)


@dataclass(frozen=True, slots=True)
class SignFindingRow:
    """One finding on the signing page; only what changed since hand-in is open."""

    number: int
    title: str
    level: str
    parts: tuple[PartRow, ...]
    places: tuple[str, ...] = ()
    changes: tuple[ChangeRow, ...] = ()
    changed: bool = False


@dataclass(frozen=True, slots=True)
class SignPage:
    """Signing the differences, on the phone; `form` carries the digest shown."""

    head: VisitHead
    findings: tuple[SignFindingRow, ...]  # with a difference since hand-in
    checked_by: str  # "Words checked by Rhea Toll, who did not visit."
    licence: str  # "Home inspector license NC 0000, until 30 September 2026"
    unchanged: tuple[SignFindingRow, ...] = ()
    arrived: str = ""
    left: str = ""
    stands_against: tuple[str, ...] = ()
    notes: tuple[NoteRow, ...] = ()
    sign_url: str = ""
    signed: str = ""
    digest: str = ""  # of what is shown; signing hands it back
    instead_of: str = ""  # the inspector, where somebody stands in
    loaded_at: datetime | None = None
