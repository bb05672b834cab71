"""Fills the blanks of a passage exactly; what is not filled stays visible."""

import re
from collections.abc import Mapping
from functools import cache

from findings.wording.files import FIXTURES, Strict, read

# {height} takes the unit that the list gives; {height:in} says its own.
BLANK = re.compile(r"\{([a-z][A-Za-z0-9_]*)(?::([A-Za-z%]+))?\}")
# [[ ... ]] is left out when a blank inside it has no value.
OPTIONAL = re.compile(r"\[\[(.*?)\]\]")
BARE_NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:/0)?")


class Units(Strict, frozen=True, kw_only=True):
    """How values read, and the unit of each blank that may be a bare number."""

    schema: int
    says: dict[str, str]
    units: dict[str, str]


@cache
def forms() -> Units:
    """Return how values read, and the unit that belongs to a blank."""
    return read(FIXTURES / "passages" / "blanks.yaml", Units)


def fill_text(template: str, blanks: Mapping[str, str]) -> str:
    """Fill a text in one pass: a value is never read as a blank or a clause again."""
    values = {name: value for name, raw in blanks.items() if (value := str(raw))}
    kept = OPTIONAL.sub(lambda clause: _clause(clause[1], values), template)
    filled = BLANK.sub(lambda blank: _value(blank, values), kept)
    return _opened(filled)


def _clause(text: str, values: Mapping[str, str]) -> str:
    missing = any(blank[1] not in values for blank in BLANK.finditer(text))
    return "" if missing else text


def _value(blank: re.Match[str], values: Mapping[str, str]) -> str:
    name = blank[1]
    if name not in values:
        return blank[0]
    value = forms().says.get(values[name], values[name])
    unit = blank[2] or forms().units.get(name, "")
    if not unit or not BARE_NUMBER.fullmatch(value):
        return value
    return f"{value}%" if unit == "%" else f"{value} {unit}"


def _opened(text: str) -> str:
    """Begin with a capital: a place may come as "main panel"."""
    return text[:1].upper() + text[1:]


def open_blanks(text: str) -> list[re.Match[str]]:
    """Return the blanks that still stand in a text."""
    return list(BLANK.finditer(text))
