"""Readings that bring their unit along: exact lengths, areas, temperatures."""

import re
from fractions import Fraction

from findings.rules import exact
from findings.rules.exact import Wire

WRITTEN = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?)\s*([A-Za-z°%/0-9]+)\Z")
PLACES = 6  # a millionth of an inch: a rounded conversion never moves an answer
# Each unit of a family in its first one; an inch is 25.4 mm by definition.
FAMILIES: tuple[dict[str, Fraction], ...] = (
    {
        "in": Fraction(1),
        "ft": Fraction(12),
        "mm": Fraction(10, 254),
        "cm": Fraction(100, 254),
        "m": Fraction(10000, 254),
    },
    {"in2": Fraction(1), "ft2": Fraction(144), "cm2": Fraction(10000, 64516)},
    {"s": Fraction(1), "min": Fraction(60), "h": Fraction(3600)},
    {"A": Fraction(1), "mA": Fraction(1, 1000)},
    {"W": Fraction(1), "kW": Fraction(1000)},
    {"Btu/h": Fraction(1), "kBtu/h": Fraction(1000)},
)


class UnknownUnit(ValueError):
    """A unit that the input does not take; the message names those it does."""


def converted(text: str, unit: str) -> Wire | None:
    """Give a written reading in `unit`; None when it names no unit at all.

    Raises UnknownUnit.
    """
    found = WRITTEN.match(text.strip())
    if found is None or exact.from_any(found[1]) is None:
        return None
    value = Fraction(found[1])
    given = found[2].lstrip("°")
    if given == unit:
        return exact.to_wire(value)
    if unit == "F" and given == "C":
        return exact.to_wire(value * Fraction(9, 5) + 32)
    family = next((one for one in FAMILIES if unit in one and given in one), None)
    if family is None:
        raise UnknownUnit(f"{given!r} is no unit here; one of {accepted(unit)}")
    return exact.to_wire(exact.rounded(value * family[given] / family[unit], PLACES))


def accepted(unit: str) -> str:
    """List the units that an input of this unit takes."""
    if unit == "F":
        return "F, C"
    family = next((one for one in FAMILIES if unit in one), {unit: Fraction(1)})
    return ", ".join(family)
