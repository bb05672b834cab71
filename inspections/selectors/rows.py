"""Rows that pages of all apps share."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from firm.selectors.header import NavLink


@dataclass(frozen=True, slots=True)
class VisitHead:
    """The head of every page of one visit; `sections` are its plain links."""

    visit_id: str
    address: str
    town: str
    purpose: str
    zone: str
    starts_at: datetime
    url: str
    sections: tuple[NavLink, ...] = ()
    saved: str = ""  # "All 212 entries are on the server." or what still waits


@dataclass(frozen=True, slots=True)
class FactRow:
    """A label and its value, with how it is known when that matters."""

    label: str
    value: str
    how_known: str = ""
    url: str = ""


@dataclass(frozen=True, slots=True)
class OpenLine:
    """What is still open here, and where it is answered."""

    text: str
    url: str = ""
    needs_feet: bool = True
    note_url: str = ""  # where a reviewer puts a note on it


@dataclass(frozen=True, slots=True)
class PhotoRow:
    """A photo as shown to the firm; `state` says when its bytes are still missing."""

    photo_id: str
    thumb_url: str
    large_url: str
    words: str  # the text alternative: caption, or use and place
    use: str = ""
    taken: str = ""
    state: str = ""
    words_url: str = ""  # where its use and words are written
    plain_url: str = ""  # the same picture without its marks, where it has some
    note_url: str = ""  # where a reviewer puts a note on it
