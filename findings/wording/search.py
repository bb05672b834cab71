"""Finds passages by a few words, typed fast and misspelt."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from rapidfuzz import fuzz

SMALL = frozenset({"a", "an", "and", "at", "by", "in", "is", "no", "not", "of", "on"})
SMALL_TOO = frozenset({"or", "the", "to", "with", "it", "was", "are", "has", "that"})
ENOUGH = 72.0  # below this a word is another word, not a slip of the finger


@dataclass(frozen=True, slots=True)
class Entry:
    """What a passage is found by: words of its title count more than the rest."""

    key: str
    title: frozenset[str]
    rest: frozenset[str]


def tokens(text: str) -> list[str]:
    """Return the words that carry meaning, small letters, plain plurals cut."""
    found = re.findall(r"[a-z0-9]+", text.lower())
    return [_singular(w) for w in found if w not in SMALL | SMALL_TOO]


def _singular(word: str) -> str:
    plural = len(word) > 3 and word.endswith("s") and not word.endswith("ss")  # noqa: PLR2004 (gas, bus)
    return word[:-1] if plural else word


def entry(key: str, title: str, rest: Iterable[str]) -> Entry:
    """Make the entry of a passage."""
    return Entry(key, frozenset(tokens(title)), frozenset(tokens(" ".join(rest))))


def score(query: list[str], found_by: Entry) -> float:
    """Say how well a query fits, 0 to 100; a word that fits nothing counts zero."""
    if not query:
        return 0.0
    return sum(_word_score(word, found_by) for word in query) / len(query)


def _word_score(word: str, found_by: Entry) -> float:
    best_title = max((_alike(word, t) for t in found_by.title), default=0.0)
    best_rest = max((_alike(word, t) for t in found_by.rest), default=0.0)
    return max(best_title, 0.9 * best_rest)


def _alike(typed: str, word: str) -> float:
    if len(typed) > 2 and word.startswith(typed):  # noqa: PLR2004 (typed so far)
        return 95.0 if typed != word else 100.0
    ratio = fuzz.ratio(typed, word)
    return ratio if ratio >= ENOUGH else 0.0
