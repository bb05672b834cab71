"""Places that the words speak of and the visit does not have."""

import re
from collections.abc import Iterator
from functools import cache

from findings.wording.context import Context, Remark
from findings.wording.files import Strict, read, words_file
from findings.wording.words import Part, Words

# "Why it matters" speaks of kitchens in general; these two speak of this house.
PARTS: tuple[Part, ...] = ("seen", "action")


class PlaceNames(Strict, frozen=True, kw_only=True):
    """Places with their other names, and places that lie within another."""

    schema: int
    places: dict[str, tuple[str, ...]]
    within: dict[str, tuple[str, ...]] = {}


@cache
def names() -> PlaceNames:
    """Return the names of places."""
    return read(words_file("places.yaml"), PlaceNames)


def place_remarks(words: Words, around: Context) -> Iterator[Remark]:
    """Point out a place that is not on the visit; silent where none is known."""
    if not around.places:
        return
    visited = _visited(around)
    for part in PARTS:
        for place, pattern in _patterns():
            if place in visited:
                continue
            for match in pattern.finditer(words.part(part)):
                message = f"This visit has no place called {match[0].lower()}."
                yield Remark(part, *match.span(), "place", message, "place")


def _visited(around: Context) -> set[str]:
    text = " / ".join(around.places)
    found = {place for place, pattern in _patterns() if pattern.search(text)}
    for outer, inner in names().within.items():
        if outer in text.lower():
            found |= set(inner)
    return found


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple(
        (
            place,
            re.compile(
                rf"(?<![\w-])(?:{'|'.join(re.escape(n) for n in others)})s?(?![\w-])",
                re.IGNORECASE,
            ),
        )
        for place, others in names().places.items()
    )
