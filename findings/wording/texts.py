"""Standing texts of a report: cautions, disclosures, glossary, older rules."""

import re
from collections.abc import Collection, Iterable, Mapping
from functools import cache

from findings.wording.blanks import fill_text, open_blanks
from findings.wording.files import Strict, read, words_file


class Caution(Strict, frozen=True, kw_only=True):
    """A sentence the report says of itself; no systems means every report."""

    key: str
    systems: tuple[str, ...]
    text: str


class Disclosure(Strict, frozen=True, kw_only=True):
    """A sentence that is true of some visits, with blanks."""

    key: str
    text: str


class Cautions(Strict, frozen=True, kw_only=True):
    """The file of cautions and disclosures."""

    schema: int
    cautions: tuple[Caution, ...]
    disclosures: tuple[Disclosure, ...]


class Term(Strict, frozen=True, kw_only=True):
    """A word of the trade and its plain meaning."""

    term: str
    meaning: str
    also: tuple[str, ...] = ()


class Plainer(Strict, frozen=True, kw_only=True):
    """Jargon and what to say in its place."""

    term: str
    say: str
    also: tuple[str, ...] = ()


class Glossary(Strict, frozen=True, kw_only=True):
    """Words that a report explains, and words that it replaces."""

    schema: int
    explained: tuple[Term, ...]
    instead: tuple[Plainer, ...]
    abbreviations: tuple[str, ...]


class OlderRule(Strict, frozen=True, kw_only=True):
    """One topic of the box "Older rules, newer habits"."""

    title: str
    text: str
    settle: str


class OlderRules(Strict, frozen=True, kw_only=True):
    """The file of those topics."""

    schema: int
    topics: dict[str, OlderRule]


@cache
def glossary() -> Glossary:
    """Return the glossary."""
    return read(words_file("glossary.yaml"), Glossary)


@cache
def _cautions() -> Cautions:
    return read(words_file("cautions.yaml"), Cautions)


@cache
def _older() -> OlderRules:
    return read(words_file("older_rules.yaml"), OlderRules)


def cautions(systems: Collection[str]) -> list[str]:
    """Return the cautions for a report about these systems."""
    return [
        line.text
        for line in _cautions().cautions
        if not line.systems or set(line.systems) & set(systems)
    ]


def disclosure(key: str, blanks: Mapping[str, str] | None = None) -> str:
    """Return one disclosure; KeyError for an unknown one, or a blank without value."""
    for line in _cautions().disclosures:
        if line.key == key:
            text = fill_text(line.text, blanks or {})
            for blank in open_blanks(text):
                raise KeyError(f"{key} needs {blank[1]}")
            return text
    raise KeyError(key)


def older_rule(topic: str) -> OlderRule:
    """Return the words of one topic; an unknown one reads as "newer habits"."""
    topics = _older().topics
    return topics.get(topic, topics["other"])


def terms_used(texts: Iterable[str]) -> list[Term]:
    """Return the explained words that stand in the texts, by letter."""
    whole = "\n".join(texts)
    used = [t for t in glossary().explained if _stands(t, whole)]
    return sorted(used, key=lambda t: t.term)


def _stands(term: Term, text: str) -> bool:
    head = re.sub(r" \(.*\)$", "", term.term)  # "Volt (V)" stands as "volt"
    return any(_pattern(name).search(text) for name in (head, *term.also))


@cache
def _pattern(name: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![\w-]){re.escape(name)}(?![\w-])", re.IGNORECASE)
