"""Rows of the library's pages: finished words and addresses, nothing left to ask."""

from __future__ import annotations

from dataclasses import dataclass, field

from findings.selectors.review_pages import PartRow
from inspections.selectors.rows import FactRow


@dataclass(frozen=True, slots=True)
class PassageRow:
    """A passage in the list."""

    key: str
    title: str
    url: str
    system: str
    begins: str
    standing: str
    usage: str


@dataclass(frozen=True, slots=True)
class Filter:
    """A way to narrow the list, with how many there are."""

    label: str
    url: str
    count: int
    current: bool


@dataclass(frozen=True, slots=True)
class LibraryPage:
    """The list of passages, a page of it at a time."""

    query: str
    system: str
    standing: str
    url: str
    found: int
    total: int
    rows: tuple[PassageRow, ...]
    systems: tuple[Filter, ...]
    standings: tuple[Filter, ...]
    page: int
    pages: int
    earlier_url: str
    later_url: str
    new_url: str
    bring_url: str
    csv_url: str
    xlsx_url: str
    checks_url: str
    approve_url: str
    waiting: int


@dataclass(frozen=True, slots=True)
class BlankRow:
    """A blank of a passage: where it is filled from, and what it reads as here."""

    name: str
    filled_from: str
    example: str


@dataclass(frozen=True, slots=True)
class VariantRow:
    """Other words for a purpose or a context, as they read."""

    when: str
    parts: tuple[PartRow, ...]


@dataclass(frozen=True, slots=True)
class RemarkLine:
    """What a check says of the passage as it is shown."""

    part: str
    about: str
    message: str


@dataclass(frozen=True, slots=True)
class VersionRow:
    """One version with who wrote it, who approved it and what it changed."""

    number: int
    kind: str
    written: str
    origin: str
    reason: str
    note: str
    approved: str
    approve: bool
    changes: tuple[PartRow, ...]


@dataclass(frozen=True, slots=True)
class PassagePage:
    """One passage with all that is known of it."""

    key: str
    title: str
    list_url: str
    standing: str
    level: str
    facts: tuple[FactRow, ...]
    parts: tuple[PartRow, ...]
    blanks: tuple[BlankRow, ...]
    variants: tuple[VariantRow, ...]
    remarks: tuple[RemarkLine, ...]
    usage: tuple[FactRow, ...]
    versions: tuple[VersionRow, ...]
    waits: int
    wanting: str
    shown: int
    initial: dict[str, object] = field(default_factory=dict)
    variant_initial: tuple[dict[str, object], ...] = ()
    write_url: str = ""
    approve_url: str = ""
    starter_url: str = ""
    retire_url: str = ""
    remarks_url: str = ""


@dataclass(frozen=True, slots=True)
class NewPage:
    """The page of a passage that is not written yet."""

    list_url: str
    remarks_url: str
