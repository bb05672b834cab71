"""The parts that a state wants in a deficiency's words."""

import re
from collections.abc import Collection
from dataclasses import dataclass
from typing import Protocol

from findings.standards.schema_asks import Asks, CompulsoryPart


class FourParts(Protocol):
    """Words in four parts, as the wording package holds them."""

    @property
    def seen(self) -> str: ...
    @property
    def matters(self) -> str: ...
    @property
    def action(self) -> str: ...
    @property
    def when(self) -> str: ...


@dataclass(frozen=True, slots=True)
class MissingPart:
    """A compulsory part that the words do not have yet."""

    id: str
    says: str
    held_in: str


def missing_parts(pack: Asks, words: FourParts) -> list[MissingPart]:
    """Return the compulsory parts that are missing.

    This counts words and looks for a direction; whether they say the right thing
    is for the person who checks them.
    """
    return [
        MissingPart(part.id, part.says, part.held_in)
        for part in (pack.deficiency.parts if pack.deficiency else ())
        if not _has(part, str(getattr(words, part.held_in)))
    ]


def _has(part: CompulsoryPart, text: str) -> bool:
    if len(re.findall(r"[^\W\d_][\w'’-]*", text)) < part.least_words:
        return False
    return not part.any_of or any(_says(text, phrase) for phrase in part.any_of)


def _says(text: str, phrase: str) -> bool:
    return re.search(rf"\b{re.escape(phrase)}", text, re.IGNORECASE) is not None


def kept_words(pack: Asks, words: FourParts, meets: Collection[str]) -> list[str]:
    """Return the words in a finding's text that the state keeps for other findings.

    `meets` says what the finding is: "as_deficient" where it answers a condition that
    the state names so, "legal_test" where the state's legal test is met.
    """
    if pack.deficiency is None:
        return []
    text = f"{words.seen} {words.matters} {words.action} {words.when}"
    return [
        kept.word
        for kept in pack.deficiency.reserved
        if kept.kept_for not in meets
        and re.search(rf"\b{re.escape(kept.word)}\b", text, re.IGNORECASE)
    ]
