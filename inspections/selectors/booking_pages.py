"""Rows of the booking and agreement pages."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from inspections.selectors.rows import FactRow, VisitHead


@dataclass(frozen=True, slots=True)
class BookingRow:
    """One booked visit in the office's list; `state` is words."""

    url: str
    time: str
    address: str
    town: str
    inspector: str
    state: str
    has_open: bool = False


@dataclass(frozen=True, slots=True)
class BookingDayRow:
    day: date
    visits: tuple[BookingRow, ...]


@dataclass(frozen=True, slots=True)
class BookingListPage:
    days: tuple[BookingDayRow, ...]
    new_url: str
    earlier_url: str = ""
    later_url: str = ""


@dataclass(frozen=True, slots=True)
class BookingNewPage:
    """The booking form's page; `form` is BookingForm."""

    list_url: str
    offers: tuple[str, ...] = ()  # free starts, in words
    promise: str = ""  # what the promise date would be, and by which rule


@dataclass(frozen=True, slots=True)
class SignerRow:
    """One client and where the signature stands."""

    name: str
    state: str  # "signed 4 March, 7:12 pm, by link", "asked 3 March", "not asked yet"
    email: str = ""
    signed: bool = False


@dataclass(frozen=True, slots=True)
class CompanionRow:
    """A member who goes along, or may be named."""

    member: str
    name: str
    part: str = ""


@dataclass(frozen=True, slots=True)
class BookingPage:
    """One booking as the office sees it."""

    head: VisitHead
    facts: tuple[FactRow, ...]
    people: tuple[FactRow, ...] = ()
    signers: tuple[SignerRow, ...] = ()
    agreement_text: str = ""
    send_url: str = ""  # POST AgreementForm (text) or nothing once frozen
    links: tuple[FactRow, ...] = ()  # fresh signing addresses, shown once
    due: str = ""
    companions: tuple[CompanionRow, ...] = ()  # who goes along beside the inspector
    may_go: tuple[CompanionRow, ...] = ()
    name_url: str = ""  # POST member
    off_url: str = ""  # POST member


@dataclass(frozen=True, slots=True)
class AgreementPage:
    """The agreement as a client reads and signs it."""

    firm_name: str
    client: str
    address: str
    when: str
    text: str
    firm_lines: tuple[str, ...] = ()  # address, telephone, licence
    signed: str = ""  # "Signed by Odile Farrow on 4 March, 7:12 pm"
    others: tuple[str, ...] = ()  # who else signs, without their details
