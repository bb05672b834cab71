"""The parts that a state wants in a deficiency's words."""

import re
from dataclasses import dataclass
from typing import Protocol

from findings.standards.schema import CompulsoryPart, Pack


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


def missing_parts(pack: Pack, words: FourParts) -> list[MissingPart]:
    """Return the compulsory parts that are missing.

    This counts words and looks for a direction; whether they say the right thing
    is for the person who checks them.
    """
    return [
        MissingPart(part.id, part.says, part.held_in)
        for part in pack.deficiency.parts
        if not _has(part, str(getattr(words, part.held_in)))
    ]


def _has(part: CompulsoryPart, text: str) -> bool:
    if len(re.findall(r"[^\W\d_][\w'’-]*", text)) < part.least_words:
        return False
    return not part.any_of or any(_says(text, phrase) for phrase in part.any_of)


def _says(text: str, phrase: str) -> bool:
    return re.search(rf"\b{re.escape(phrase)}", text, re.IGNORECASE) is not None
