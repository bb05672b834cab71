"""The reading grade of a text, by the formula of Kincaid and others (1975)."""

import re
from collections.abc import Iterator
from functools import cache

import pyphen  # type: ignore[import-untyped]  # publishes no types

from findings.wording.context import Context, Remark
from findings.wording.words import PARTS, Words

# Too few words give a grade that means nothing.
LEAST_WORDS = 25
WORD = re.compile(r"[A-Za-z]+(?:['’-][A-Za-z]+)*")
SENTENCE = re.compile(r"[^.!?]+[.!?]*")
# What stands before a colon is a list of places, read at a glance.
CLAUSE = re.compile(r"[^.!?:]+[.!?:]*")
# A period inside a number or after a short unit ends no sentence.
INNER_POINT = re.compile(r"(?<=\d)\.(?=\d)")


def grade(text: str) -> float:
    """Return the school grade at which a text is easily read (Flesch-Kincaid)."""
    words = WORD.findall(text)
    if not words:
        return 0.0
    syllables = sum(syllables_in(word) for word in words)
    per_sentence = len(words) / max(1, len(sentences_in(text)))
    return 0.39 * per_sentence + 11.8 * syllables / len(words) - 15.59


def sentences_in(text: str) -> list[re.Match[str]]:
    """Return the sentences of a text that have a word."""
    plain = INNER_POINT.sub(",", text)
    return [m for m in SENTENCE.finditer(plain) if WORD.search(m[0])]


def syllables_in(word: str) -> int:
    """Count syllables by hyphenation, or by vowels where that gives fewer."""
    return sum(_syllables(part) for part in word.lower().split("-") if part)


@cache
def _syllables(word: str) -> int:
    groups = re.findall(r"[aeiouy]+", word)
    silent = word.endswith("e") and not word.endswith(("le", "ee")) and len(groups) > 1
    ended = (
        word.endswith("ed") and not word.endswith(("ted", "ded")) and len(groups) > 1
    )
    by_vowels = len(groups) - (1 if silent or ended else 0)
    return max(1, by_vowels, len(_hyphens().positions(word)) + 1)


@cache
def _hyphens() -> pyphen.Pyphen:
    return pyphen.Pyphen(lang="en_US")


def reading_remarks(words: Words, around: Context) -> Iterator[Remark]:
    """Point out words that read above the grade, and sentences that run on."""
    text = words.text()
    reached = grade(text)
    if len(WORD.findall(text)) >= LEAST_WORDS and reached > around.grade:
        part = max(PARTS, key=lambda name: grade(words.part(name)))
        message = (
            f"This reads at grade {reached:.0f}; about {around.grade - 1:.0f} is aimed "
            "at. Shorter words and sentences help."
        )
        end = len(words.part(part))
        yield Remark(part, 0, end, "grade", message, "grade.words")
    for name, part_text in words.parts():
        for found in CLAUSE.finditer(part_text):
            if len(WORD.findall(found[0])) > around.longest_sentence:
                message = "This sentence is long. Make two of it."
                yield Remark(name, *found.span(), "grade", message, "grade.sentence")
