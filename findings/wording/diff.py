"""Visible differences between two wordings, word by word."""

import re
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Literal, TypeAlias

from findings.wording.words import PARTS, Part, Words

Op: TypeAlias = Literal["same", "removed", "added"]
TOKEN = re.compile(r"\s+|\w+|[^\w\s]")


@dataclass(frozen=True, slots=True)
class Segment:
    """A run of text that stayed, went or came."""

    op: Op
    text: str


def segments(old: str, new: str) -> list[Segment]:
    """Return the runs that make the new text out of the old one.

    What stayed and went reads as the old text, what stayed and came as the new one.
    """
    before, after = TOKEN.findall(old), TOKEN.findall(new)
    found: list[Segment] = []
    matcher = SequenceMatcher(a=before, b=after, autojunk=False)
    for tag, i, j, k, m in matcher.get_opcodes():
        if tag == "equal":
            _add(found, "same", before[i:j])
        else:
            _add(found, "removed", before[i:j])
            _add(found, "added", after[k:m])
    return found


def _add(found: list[Segment], op: Op, tokens: list[str]) -> None:
    if tokens:
        found.append(Segment(op, "".join(tokens)))


def words_diff(old: Words, new: Words) -> dict[Part, list[Segment]]:
    """Return the differences part by part; a part that stayed is one run or none."""
    return {name: segments(old.part(name), new.part(name)) for name in PARTS}


def changed_parts(old: Words, new: Words) -> list[Part]:
    """Return the parts that differ."""
    return [name for name in PARTS if old.part(name) != new.part(name)]
