"""Finds passages by a few words or a whole line, typed fast and misspelt."""

import math
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rapidfuzz import fuzz

SMALL = frozenset(
    {"a", "an", "and", "are", "at", "by", "has", "in", "is", "it", "its", "no", "not"}
    | {"of", "on", "or", "that", "the", "to", "was", "with"}
)
ENOUGH = 72.0  # below this a word is another word, not a slip of the finger
SURE = 86.0  # in a whole line many words nearly fit; only plain ones count
FEW = 4  # so many words are a search, more are a sentence
PREFIX = 3  # letters typed so far that may stand for a word


@dataclass(frozen=True, slots=True)
class Entry:
    """What a passage is found by: words of its title count more than the rest."""

    key: str
    title: frozenset[str]
    rest: frozenset[str]


@dataclass(frozen=True, slots=True)
class Index:
    """All entries, and how much each word tells one from another."""

    entries: tuple[Entry, ...]
    weights: dict[str, float]


def tokens(text: str) -> list[str]:
    """Return the words that carry meaning, small letters, plain plurals cut."""
    found = re.findall(r"[a-z0-9]+", text.lower())
    return [_singular(word) for word in found if word not in SMALL]


def _singular(word: str) -> str:
    plural = len(word) > PREFIX and word.endswith("s") and not word.endswith("ss")
    return word[:-1] if plural else word


def entry(key: str, title: str, rest: Iterable[str]) -> Entry:
    """Make the entry of a passage."""
    return Entry(key, frozenset(tokens(title)), frozenset(tokens(" ".join(rest))))


def index(entries: Iterable[Entry]) -> Index:
    """Arrange the entries; a word that few of them have tells the most."""
    held = tuple(entries)
    counts = Counter(word for e in held for word in e.title | e.rest)
    weights = {word: math.log(1 + len(held) / n) for word, n in counts.items()}
    return Index(held, weights)


def score(query: Sequence[str], found_by: Entry, among: Index) -> float:
    """Say how well a query fits, 0 to 100."""
    if not query:
        return 0.0
    typed = _as_search(query, found_by)
    if len(query) <= FEW:
        return typed
    return max(typed, _as_line(query, found_by, among))


def _as_search(query: Sequence[str], found_by: Entry) -> float:
    """Every word that was typed should fit the passage."""
    return sum(_word_score(word, found_by) for word in query) / len(query)


def _word_score(word: str, found_by: Entry) -> float:
    best_title = max((_alike(word, t) for t in found_by.title), default=0.0)
    best_rest = max((_alike(word, t) for t in found_by.rest), default=0.0)
    return max(best_title, 0.9 * best_rest)


def _alike(typed: str, word: str) -> float:
    if len(typed) >= PREFIX and word.startswith(typed):
        return 100.0 if typed == word else 95.0
    ratio = fuzz.ratio(typed, word)
    return ratio if ratio >= ENOUGH else 0.0


def _as_line(query: Sequence[str], found_by: Entry, among: Index) -> float:
    """Judge by how much of the passage a long line names; a line says much else."""
    words = found_by.title | found_by.rest
    named = sum(among.weights[w] for w in words if _named(w, query))
    wanted = sorted((among.weights[w] for w in words), reverse=True)
    # Naming half of a passage's telling words is as good as a line gets.
    whole = sum(wanted[: max(2, len(wanted) // 2)])
    return min(100.0, 100.0 * named / whole) if whole else 0.0


def _named(word: str, query: Sequence[str]) -> bool:
    return any(typed == word or fuzz.ratio(typed, word) >= SURE for typed in query)
