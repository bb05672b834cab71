"""Jargon: words with a plainer one, and abbreviations that nothing explains."""

import re
from collections.abc import Iterator
from functools import cache

from findings.wording.context import Context, Remark
from findings.wording.texts import glossary
from findings.wording.words import Words

ABBREVIATION = re.compile(r"(?<![\w-])[A-Z]{2,6}s?(?![\w-])")


def jargon_remarks(words: Words, around: Context) -> Iterator[Remark]:
    """Point out jargon; a word explained in brackets right after it may stand."""
    for part, text in words.parts():
        for match, say in _jargon(text):
            if not text[match.end() :].lstrip().startswith("("):
                message = f"Say it plainer: {say}."
                yield Remark(part, *match.span(), "jargon", message, "jargon.plain")
        for match in ABBREVIATION.finditer(text):
            if _unexplained(match[0], text, around):
                message = f"“{match[0]}” is not explained. Write it out."
                yield Remark(part, *match.span(), "jargon", message, "jargon.short")


def _jargon(text: str) -> Iterator[tuple[re.Match[str], str]]:
    for pattern, say in _patterns():
        for match in pattern.finditer(text):
            yield match, say


@cache
def _patterns() -> tuple[tuple[re.Pattern[str], str], ...]:
    return tuple(
        (re.compile(rf"(?<![\w-]){re.escape(name)}(?![\w-])", re.IGNORECASE), word.say)
        for word in glossary().instead
        for name in (word.term, *word.also)
    )


def _unexplained(short: str, text: str, around: Context) -> bool:
    known = {*glossary().abbreviations, *around.names}
    if short in known or short.rstrip("s") in known:
        return False
    if short.lower() in {name.lower() for name, _ in _terms()}:
        return False
    return f"({short})" not in text


@cache
def _terms() -> tuple[tuple[str, str], ...]:
    return tuple(
        (name, term.meaning)
        for term in glossary().explained
        for name in (term.term, *term.also)
    )
