"""What a firm may tune of its wording checks, and what each of them is for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from findings.wording.context import Remark
from findings.wording.files import Strict, read, words_file


@dataclass(frozen=True, slots=True)
class Tuning:
    """How a firm has its words checked; as it stands here where it never chose."""

    off: frozenset[str] = frozenset()
    grade: float = 9.0
    longest_sentence: int = 30
    own_words: frozenset[str] = frozenset()
    metric: bool = False


class About(Strict, frozen=True, kw_only=True):
    """One check: what it points out, with words it marks and words it leaves alone."""

    kind: str
    title: str
    says: str
    wrong: str
    right: str
    always: bool = False  # a release asks for it, so nobody can switch it off


class Abouts(Strict, frozen=True, kw_only=True):
    """The file of the checks."""

    schema: int
    checks: tuple[About, ...]


@cache
def abouts() -> tuple[About, ...]:
    """Return what each check is for, in the order the page lists them."""
    return read(words_file("checks.yaml"), Abouts).checks


def may_be_off() -> frozenset[str]:
    """Return the kinds that a firm may switch off."""
    return frozenset(one.kind for one in abouts() if not one.always)


def kept(remarks: Iterable[Remark], tuning: Tuning) -> list[Remark]:
    """Leave out the remarks of checks that the firm switched off."""
    off = tuning.off & may_be_off()
    return [remark for remark in remarks if remark.kind not in off]
