"""Spelling, by a word list of the language and the words of the trade."""

import re
from collections.abc import Iterator
from functools import cache

from spellchecker import SpellChecker

from findings.wording.context import Context, Remark
from findings.wording.files import words_file
from findings.wording.texts import glossary
from findings.wording.words import Words

WORD = re.compile(r"[A-Za-z]+(?:['’][A-Za-z]+)*")
SHORTEST = 3  # shorter ones are units and letters of a plate


def spelling_remarks(words: Words, around: Context) -> Iterator[Remark]:
    """Point out words that no list has; names and plates are left alone."""
    names = {n.lower() for n in _name_words(around)}
    for part, text in words.parts():
        for match in WORD.finditer(text):
            if _plain(match, text) and not known(match[0], names):
                message = _message(match[0])
                yield Remark(part, *match.span(), "spelling", message, "spelling")


def _plain(match: re.Match[str], text: str) -> bool:
    """Leave out capitals inside a sentence, blanks, and letters of a number."""
    before, after = text[: match.start()], text[match.end() :]
    if before.endswith("{") or after.startswith("}") or "_" in before[-1:] + after[:1]:
        return False
    if before[-1:].isdigit() or after[:1].isdigit() or len(match[0]) < SHORTEST:
        return False
    if match[0][1:] != match[0][1:].lower():
        return False
    opens = not before.rstrip(" “\"'(") or before.rstrip(" “\"'(")[-1] in ".?!:"
    return match[0].islower() or opens


def known(word: str, names: set[str]) -> bool:
    """Say whether a word, or its plain possessive, is in a list."""
    plain = re.sub(r"['’]s?$", "", word.lower().replace("’", "'"))
    if plain in names or plain in _trade_words():
        return True
    return bool(_checker().known([plain, word.lower().replace("’", "'")]))


def _message(word: str) -> str:
    better = _checker().correction(word.lower())
    if better and better != word.lower():
        return f"“{word}” is not in the word list. “{better}”?"
    return f"“{word}” is not in the word list."


def _name_words(around: Context) -> Iterator[str]:
    for text in (*around.names, *around.places):
        yield from WORD.findall(text)


@cache
def _checker() -> SpellChecker:
    return SpellChecker(language="en", distance=1)


@cache
def _trade_words() -> frozenset[str]:
    lines = words_file("trade_words.txt").read_text(encoding="utf-8").split()
    terms = " ".join(
        name for t in glossary().explained for name in (t.term, *t.also)
    ).lower()
    return frozenset({*lines, *WORD.findall(terms)})
