"""What the wording checks know of a finding: its places, its numbers, its names."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

from findings.wording.words import Part

Kind: TypeAlias = Literal[
    "missing",
    "alarm",
    "blame",
    "legal",
    "promise",
    "jargon",
    "blank",
    "spelling",
    "grade",
    "unit",
    "place",
    "number",
]


@dataclass(frozen=True, slots=True)
class Remark:
    """One remark at the words it is about."""

    part: Part
    start: int
    end: int
    kind: Kind
    message: str
    check: str = ""


@dataclass(frozen=True, slots=True)
class Fact:
    """A number that was recorded, or a limit that a rule gave."""

    label: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Context:
    """What a finding's words may speak of; empty means "not known", and is silent."""

    places: tuple[str, ...] = ()
    facts: tuple[Fact, ...] = ()
    known: tuple[Fact, ...] = ()  # numbers of the passage itself, such as "six feet"
    names: frozenset[str] = frozenset()
    metric: bool = False
    grade: float = 9.0
    longest_sentence: int = 30
