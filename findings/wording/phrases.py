"""Words that a report does not use: alarm, blame, legal conclusions, promises."""

import re
from collections.abc import Iterator
from functools import cache
from typing import Literal

from findings.wording.context import Context, Remark
from findings.wording.files import Strict, read, words_file
from findings.wording.words import Words


class Phrase(Strict, frozen=True, kw_only=True):
    """A pattern, why it is pointed out, and an example of either side."""

    id: str
    kind: Literal["alarm", "blame", "legal", "promise"]
    pattern: str
    message: str
    wrong: str
    right: str


class Phrases(Strict, frozen=True, kw_only=True):
    """The file of phrases."""

    schema: int
    phrases: tuple[Phrase, ...]


@cache
def phrases() -> tuple[tuple[Phrase, re.Pattern[str]], ...]:
    """Return every phrase with its pattern, which stands between word edges."""
    lines = read(words_file("phrases.yaml"), Phrases).phrases
    return tuple(
        (p, re.compile(_between_edges(p.pattern), re.IGNORECASE)) for p in lines
    )


def _between_edges(pattern: str) -> str:
    # Marks such as "!" touch the word before them; words do not.
    before = r"(?<!\w)" if pattern[0].isalnum() or pattern[0] in "(\\" else ""
    return rf"{before}(?:{pattern})(?!\w)"


def phrase_remarks(words: Words, _around: Context) -> Iterator[Remark]:
    """Point out every such phrase where it stands."""
    for part, text in words.parts():
        for phrase, pattern in phrases():
            for match in pattern.finditer(text):
                yield Remark(
                    part, *match.span(), phrase.kind, phrase.message, phrase.id
                )
