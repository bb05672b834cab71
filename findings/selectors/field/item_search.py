"""Items found by typing two letters, also where one letter is wrong.

The device filters by the same rule: static/js/lib/near.js, held equal by
tests/browser/test_item_search.py.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Final

from findings.selectors.field.rows import ItemRow

LEAST: Final = 2  # letters before anything is left out
FORGIVEN: Final = 4  # from here on one letter may be wrong


def narrowed(rows: Iterable[ItemRow], typed: str) -> tuple[ItemRow, ...]:
    """Return the rows that what was typed may mean; all while it is too short."""
    every = tuple(rows)
    meant = found([row.label for row in every], typed)
    return tuple(row for row in every if row.label in meant)


def found(labels: Iterable[str], typed: str) -> list[str]:
    """Return the labels whose words begin as typed; else those nearly so."""
    every, asked = list(labels), words(typed)
    if len("".join(asked)) < LEAST:
        return every
    exact = [one for one in every if _fits(one, asked, str.startswith)]
    return exact or [one for one in every if _fits(one, asked, _near)]


def _fits(label: str, asked: list[str], alike: Callable[[str, str], bool]) -> bool:
    known = words(label)
    return all(any(alike(word, one) for word in known) for one in asked)


def words(text: str) -> list[str]:
    return re.findall(r"[a-z0-9]+", text.lower())


def _near(word: str, typed: str) -> bool:
    if word.startswith(typed):
        return True
    if len(typed) < FORGIVEN:
        return False
    size = len(typed)
    return any(_one_off(typed, word[:most]) for most in (size - 1, size, size + 1))


def _one_off(a: str, b: str) -> bool:
    """Say whether one letter was left out, added, changed, or two were swapped."""
    if abs(len(a) - len(b)) > 1:
        return False
    at = next((n for n, (x, y) in enumerate(zip(a, b, strict=False)) if x != y), None)
    if at is None:
        return True
    rest_a, rest_b = a[at + 1 :], b[at + 1 :]
    swapped = a[at : at + 2] == b[at : at + 2][::-1] and a[at + 2 :] == b[at + 2 :]
    return swapped or rest_a == rest_b or rest_a == b[at:] or a[at:] == rest_b
