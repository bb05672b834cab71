"""Rows of the field pages: what the templates under findings/field/ print."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from inspections.selectors.rows import FactRow, OpenLine, PhotoRow, VisitHead


@dataclass(frozen=True, slots=True)
class DayVisitRow:
    """One visit of my day; `open_points` are sentences (an unsigned agreement)."""

    visit_id: str
    url: str
    starts_at: datetime
    ends_at: datetime
    zone: str
    address: str
    town: str
    purpose: str
    clients: tuple[str, ...]
    access: str
    state: str
    fee_at_door: str = ""
    open_points: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WaitingRow:
    """Something that waits for this inspector's yes, such as changed words."""

    label: str
    note: str
    url: str


@dataclass(frozen=True, slots=True)
class MyDayPage:
    day: date
    visits: tuple[DayVisitRow, ...]
    waiting: tuple[WaitingRow, ...] = ()
    earlier_url: str = ""
    later_url: str = ""


@dataclass(frozen=True, slots=True)
class StopRow:
    """One stop of the route; `state` is words: closed 8:12 am, 3 open lines."""

    stop_id: str
    number: int
    name: str
    note: str
    state: str
    url: str
    has_open: bool = False
    here: bool = False


@dataclass(frozen=True, slots=True)
class RunnerRow:
    """Something that runs while the inspector walks."""

    what: str
    place: str
    since: str
    ring: str
    url: str


@dataclass(frozen=True, slots=True)
class VisitPage:
    head: VisitHead
    stops: tuple[StopRow, ...]
    arrival: tuple[FactRow, ...] = ()
    runners: tuple[RunnerRow, ...] = ()
    hazards: tuple[str, ...] = ()
    urgent_url: str = ""
    held_apart: tuple[FactRow, ...] = ()  # two devices said different things
    withdrawn: tuple[FactRow, ...] = ()  # findings taken out, folded
    leave_url: str = ""
    start_url: str = ""  # there is no route yet: POST makes one


@dataclass(frozen=True, slots=True)
class ChoiceRow:
    """A value with its words, for radios and selects that no Django form holds."""

    value: str
    label: str
    checked: bool = False


@dataclass(frozen=True, slots=True)
class NeedRow:
    """A fact a rule still asks for and that can be had here."""

    label: str
    url: str = ""


@dataclass(frozen=True, slots=True)
class ProposalRow:
    """One proposal as a quiet line; `decide_url` takes key, choice and the rest."""

    key: str
    title: str
    facts: tuple[FactRow, ...]
    certainty: str
    decide_url: str
    consequence: str = ""  # the value proposed, preset in Change
    timing: str = ""
    margin: str = ""
    places: tuple[str, ...] = ()
    age_note: str = ""
    source: str = ""
    edition: str = ""
    cautions: tuple[str, ...] = ()
    needs: tuple[NeedRow, ...] = ()
    hazard: bool = False
    firm_only: bool = False
    asks: bool = False  # only asks for a fact: there is nothing to use yet
    confirms: str = ""  # "Yes, 300 A": a surprising value can be confirmed
    asks_why: str = ""  # why it only asks: "Only estimated; measure or read it."
    ruling: str = ""  # the firm's own level, and why
    would_be: int = 0  # the finding's number if used, 0 when not known


@dataclass(frozen=True, slots=True)
class RepeatRow:
    """Proposals like those set aside twice for one reason, folded into one line."""

    count: int
    title: str
    because: str  # the reason in words
    reason: str
    reason_text: str
    decide_url: str  # takes every key with the reason at once
    proposals: tuple[ProposalRow, ...]


@dataclass(frozen=True, slots=True)
class DecisionChoices:
    """The words of Change and Not here, by the visit's purpose."""

    consequences: tuple[ChoiceRow, ...]
    timings: tuple[ChoiceRow, ...]
    reasons: tuple[ChoiceRow, ...]


@dataclass(frozen=True, slots=True)
class EntryRow:
    """One observation at a stop with the quiet meaning of what was recorded."""

    record_id: str
    title: str
    value: str
    url: str
    how_known: str = ""
    meaning: str = ""
    weighs: bool = False  # the meaning is more than "fits"
    held_apart: tuple[str, ...] = ()
    after_leaving: bool = False


@dataclass(frozen=True, slots=True)
class ItemRow:
    """An item to look at on this stop; `noted` is words, empty when nothing is."""

    key: str
    label: str
    url: str
    noted: str = ""
    measured: bool = False


@dataclass(frozen=True, slots=True)
class StopPage:
    head: VisitHead
    stop_id: str
    number: int
    name: str
    place: str  # "kitchen, first floor, rear left"
    items: tuple[ItemRow, ...]
    measured: tuple[ItemRow, ...] = ()  # folded: objects that rules read by name
    find: str = ""  # what was typed to find an item; the two lists hold what fits
    entries: tuple[EntryRow, ...] = ()
    proposals: tuple[ProposalRow, ...] = ()
    about_age: tuple[ProposalRow, ...] = ()  # folded last
    repeats: tuple[RepeatRow, ...] = ()  # like those set aside twice already
    decided: tuple[FactRow, ...] = ()
    choices: DecisionChoices | None = None
    photos: tuple[PhotoRow, ...] = ()
    open_lines: tuple[OpenLine, ...] = ()
    panels: tuple[FactRow, ...] = ()  # name, one line of words, url of its map
    receptacles: FactRow | None = None
    method: FactRow | None = None
    cautions: tuple[str, ...] = ()
    closed: str = ""  # "Closed at 9:41 am, 12 minutes."
    hazard_url: str = ""
    limit_url: str = ""
    leave_url: str = ""
    photo_url: str = ""
    note_url: str = ""
    next_url: str = ""
    next_name: str = ""
    shown: int = 0  # the log's version, handed back by every form
    may_write: bool = True  # somebody else of the firm reads only


@dataclass(frozen=True, slots=True)
class ItemPage:
    """The form for one item (or a note, a gap, a hazard): form `form`, one meaning."""

    head: VisitHead
    stop_name: str
    stop_url: str
    title: str
    intro: str = ""
    cautions: tuple[str, ...] = ()
    meaning: str = ""
    submit_words: str = "Save"
    phrases: tuple[str, ...] = ()  # put into the text field with one tap
    live: Mapping[str, str] = field(
        default_factory=dict
    )  # what the device's rules read


@dataclass(frozen=True, slots=True)
class SpaceRow:
    """One drawn space; a two-pole breaker is one row with span 2."""

    number: int
    numbers: tuple[int, ...]  # (5, 7) for a two-pole breaker
    value: str  # "15 A", "open", "filler", "not read"
    url: str
    span: int = 1
    wire: str = ""  # "14 copper"
    more: str = ""  # "estimated; two under one screw"
    label: str = ""
    read: bool = True
    told: bool = False  # something here asks to be looked at


@dataclass(frozen=True, slots=True)
class PanelPage:
    head: VisitHead
    stop_name: str
    stop_url: str
    enclosure_id: str
    name: str
    role: str
    columns: tuple[tuple[SpaceRow, ...], ...]
    top: str = ""  # main device as drawn above the columns
    bottom: str = ""  # feeder, bus
    facts: tuple[FactRow, ...] = ()
    meanings: tuple[str, ...] = ()
    photos: tuple[PhotoRow, ...] = ()
    painting: bool = False
    paint_url: str = ""  # GET, the same page with painting on
    map_url: str = ""  # GET, with painting off
    facts_url: str = ""
    done_url: str = ""  # POST
    photo_url: str = ""
    done: str = ""  # words when the map is marked done
    not_read: int = 0
    proposals: tuple[ProposalRow, ...] = ()
    about_age: tuple[ProposalRow, ...] = ()
    repeats: tuple[RepeatRow, ...] = ()
    decided: tuple[FactRow, ...] = ()
    choices: DecisionChoices | None = None
    shown: int = 0
    may_write: bool = True


@dataclass(frozen=True, slots=True)
class SpacePage:
    head: VisitHead
    enclosure_name: str
    map_url: str
    number: int
    numbers: str
    meaning: str = ""
    weighs: bool = False
    earlier_url: str = ""
    later_url: str = ""
    held_apart: tuple[str, ...] = ()
    live: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class OddReceptacleRow:
    """A receptacle that was not as it should be, as one sentence."""

    record_id: str
    place: str
    words: str
    url: str
    meaning: str = ""


@dataclass(frozen=True, slots=True)
class ReceptacleWalkPage:
    """Counts of one room and its odd ones; the form holds the four counts."""

    head: VisitHead
    stop_name: str
    stop_url: str
    odd_url: str  # opens the pad for a new one
    odd: tuple[OddReceptacleRow, ...] = ()
    protection: tuple[str, ...] = ()  # "The one by the sink protects 3 others: …"
    ask_again: tuple[FactRow, ...] = ()  # contradictions: repeat the test
    meaning: str = ""


@dataclass(frozen=True, slots=True)
class ReceptaclePage:
    """The pad for one odd receptacle."""

    head: VisitHead
    stop_name: str
    walk_url: str
    record_id: str
    meaning: str = ""
    weighs: bool = False
    cannot_show: str = ""  # what a three-lamp tester cannot tell
    held_apart: tuple[str, ...] = ()
    live: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CloseRow:
    """A duty that closing by exception would close, unless struck out."""

    duty: str
    text: str
    struck: bool = False


@dataclass(frozen=True, slots=True)
class LeaveStopPage:
    """Before you leave this stop: open lines, then the list it will close with."""

    head: VisitHead
    stop_name: str
    stop_url: str
    close_url: str
    open_lines: tuple[OpenLine, ...] = ()
    closes: tuple[CloseRow, ...] = ()
    minutes: str = ""
    ask_reason: bool = False  # left after seconds: a reason is asked
    next_url: str = ""
    next_name: str = ""
    shown: int = 0


@dataclass(frozen=True, slots=True)
class LeaveVisitPage:
    """Before you drive off."""

    head: VisitHead
    needs_feet: tuple[OpenLine, ...] = ()
    at_desk: tuple[OpenLine, ...] = ()
    runners: tuple[RunnerRow, ...] = ()
    not_put_back: tuple[FactRow, ...] = ()
    loose_photos: tuple[PhotoRow, ...] = ()
    hand_in_url: str = ""
    sign_url: str = ""
    can_hand_in: bool = False
