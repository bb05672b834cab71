"""Finished rows of the rules book: the list, and the page of one rule."""

from __future__ import annotations

from dataclasses import dataclass

from findings.selectors.rule_text import RuleText
from inspections.selectors.rows import FactRow


@dataclass(frozen=True, slots=True)
class RuleRow:
    """One rule in the list."""

    title: str
    url: str
    provenance: str
    ticked: str
    standing: str
    usage: str


@dataclass(frozen=True, slots=True)
class SystemRows:
    """The rules of one system."""

    key: str
    name: str
    rules: tuple[RuleRow, ...]


@dataclass(frozen=True, slots=True)
class BrokenRow:
    """A rule of the firm's own that cannot be read any more, with where."""

    name: str
    url: str
    where: str


@dataclass(frozen=True, slots=True)
class BookPage:
    """The whole book, or what a few letters find in it."""

    query: str
    url: str
    found: int
    total: int
    systems: tuple[SystemRows, ...]
    broken: tuple[BrokenRow, ...]
    own_url: str = ""
    older: tuple[str, ...] = ()  # what is in force although its newer file broke


@dataclass(frozen=True, slots=True)
class OwnPage:
    """What stands on the page where a rule of the firm's own is written."""

    book_url: str
    text: str
    like: str
    kinds: tuple[FactRow, ...]
    words: tuple[FactRow, ...]


@dataclass(frozen=True, slots=True)
class RulingRow:
    """One thing the firm decided about a rule."""

    number: int
    what: str
    reason: str
    author: str
    on: str
    definition: str = ""


@dataclass(frozen=True, slots=True)
class UsageRows:
    """What became of a rule's proposals, and why those set aside were."""

    counts: tuple[FactRow, ...] = ()
    reasons: tuple[FactRow, ...] = ()


@dataclass(frozen=True, slots=True)
class RulePage:
    """One rule of the book as its firm uses it; `text` is None where it is broken."""

    rule: str
    title: str
    book_url: str
    standing: str
    text: RuleText | None
    broken: str
    own: bool
    ticked: str
    tick_waits: str
    usage: UsageRows
    rulings: tuple[RulingRow, ...]
    shown: int
    version: str
    definition: str = ""
    is_off: bool = False
    is_changed: bool = False
    levels: dict[str, tuple[tuple[str, str], ...]] | None = None
    tick_url: str = ""
    switch_url: str = ""
    level_url: str = ""
    write_url: str = ""
    like_url: str = ""
