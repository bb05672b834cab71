"""The operators that need all their arguments known."""

import re
import unicodedata
from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction
from typing import Any, TypeAlias

from findings.rules import exact

Value: TypeAlias = Any


MOST_PLACES = 12
ISO_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


class Mismatch(TypeError):
    """An argument of the wrong type: the result is unknown."""


def number(value: Value) -> Fraction:
    """Give the number a value stands for; a Mismatch when it is none."""
    parsed = exact.parse(value)
    if parsed is None:
        raise Mismatch(f"{value!r} is not a number")
    return parsed


def text(value: Value) -> str:
    """Give the string in NFC; a Mismatch when it is none."""
    if not isinstance(value, str):
        raise Mismatch(f"{value!r} is not a string")
    return unicodedata.normalize("NFC", value)


def truth(value: Value) -> bool:
    """Give true or false; a Mismatch for anything else."""
    if not isinstance(value, bool):
        raise Mismatch(f"{value!r} is neither true nor false")
    return value


def same(left: Value, right: Value) -> bool:
    """Equality of simple values, without any conversion."""
    if isinstance(left, list | dict) or isinstance(right, list | dict):
        raise Mismatch("lists and objects are not compared")
    if isinstance(left, str) and isinstance(right, str):
        if left.isascii() and right.isascii():
            return left == right
        return text(left) == text(right)
    return type(left) is type(right) and bool(left == right)


def within(value: Value, items: Value) -> bool | None:
    """Whether an equal element is in the list."""
    if not isinstance(items, list):
        raise Mismatch(f"{items!r} is not a list")
    if any(item is not None and same(value, item) for item in items):
        return True
    return None if None in items else False


def order(left: Value, right: Value) -> int:
    """-1, 0 or 1 for two numbers, or for two strings that are not numbers."""
    first, second = exact.parse(left), exact.parse(right)
    if first is not None and second is not None:
        # What two fractions compare themselves by, without asking what they are.
        one_way = first.numerator * second.denominator
        other_way = second.numerator * first.denominator
        return (one_way > other_way) - (one_way < other_way)
    if first is not None or second is not None:
        raise Mismatch(f"{left!r} and {right!r} are not of one kind")
    one, two = text(left), text(right)
    return (one > two) - (one < two)


def _arithmetic(work: Callable[[Fraction, Fraction], Fraction]) -> Callable[..., Value]:
    def run(*values: Value) -> Value:
        total = number(values[0])
        for value in values[1:]:
            total = work(total, number(value))
        return exact.to_wire(total)

    return run


def divided(
    top: Value, bottom: Value, places: Value, how: Value = exact.HALF_UP
) -> Value:
    """Give a quotient rounded to the places named."""
    if how not in (exact.HALF_UP, exact.UP, exact.DOWN):
        raise Mismatch(f"{how!r} is no way of rounding")
    if number(bottom) == 0:
        raise Mismatch("division by zero")
    quotient = number(top) / number(bottom)
    return exact.to_wire(exact.rounded(quotient, _places(places), how))


def powered(base: Value, exponent: Value, places: Value) -> Value:
    """Give a power rounded down to the places named."""
    result = exact.power(number(base), number(exponent), _places(places))
    return exact.to_wire(result)


def _places(value: Value) -> int:
    if (
        isinstance(value, bool)
        or not isinstance(value, int)
        or not 0 <= value <= MOST_PLACES
    ):
        raise Mismatch(f"{value!r} is not a number of places from 0 to 12")
    return value


def _extreme(sign: int) -> Callable[..., Value]:
    def run(*values: Value) -> Value:
        items = values[0] if len(values) == 1 else list(values)
        if not isinstance(items, list):
            items = [items]
        if None in items or not items:
            return None
        found = max((number(item) for item in items), key=lambda one: sign * one)
        return exact.to_wire(found)

    return run


def length(value: Value) -> int:
    """Elements of a list or code points of a string."""
    return len(value) if isinstance(value, list) else len(text(value))


def contains(whole: Value, part: Value) -> bool:
    """Whether a string holds another, A-Z and a-z being alike."""
    return _ascii_lower(text(part)) in _ascii_lower(text(whole))


def _ascii_lower(value: str) -> str:
    # str.lower would fold far more than the browser's side promises.
    return "".join(chr(ord(c) + 32) if "A" <= c <= "Z" else c for c in value)


def day(value: Value) -> date:
    """Give a calendar day from YYYY-MM-DD."""
    if not isinstance(value, str) or not ISO_DAY.fullmatch(value):
        raise Mismatch(f"{value!r} is not a date")
    try:
        return date.fromisoformat(value)
    except ValueError as error:
        raise Mismatch(f"{value!r} is not a date") from error


def date_add(value: Value, days: Value) -> str:
    """Give the day so many days later."""
    if isinstance(days, bool) or not isinstance(days, int):
        raise Mismatch(f"{days!r} is not a whole number of days")
    try:
        return (day(value) + timedelta(days=days)).isoformat()
    except OverflowError as error:
        raise Mismatch("no day of the calendar") from error


def joined(*values: Value) -> str:
    """Strings and numbers one after the other."""
    parts = []
    for value in values:
        wire = value if isinstance(value, str) else exact.to_wire(number(value))
        parts.append(unicodedata.normalize("NFC", str(wire)))
    return "".join(parts)


MANY = 64
STRICT: dict[str, tuple[int, int, Callable[..., Value]]] = {
    "not": (1, 1, lambda a: not truth(a)),
    "eq": (2, 2, same),
    "ne": (2, 2, lambda a, b: not same(a, b)),
    "in": (2, 2, within),
    "lt": (2, 2, lambda a, b: order(a, b) < 0),
    "le": (2, 2, lambda a, b: order(a, b) <= 0),
    "gt": (2, 2, lambda a, b: order(a, b) > 0),
    "ge": (2, 2, lambda a, b: order(a, b) >= 0),
    "between": (3, 3, lambda a, b, c: order(a, b) >= 0 and order(a, c) <= 0),
    "add": (2, MANY, _arithmetic(lambda a, b: a + b)),
    "sub": (2, 2, _arithmetic(lambda a, b: a - b)),
    "mul": (2, MANY, _arithmetic(lambda a, b: a * b)),
    "div": (3, 4, divided),
    "power": (3, 3, powered),
    "min": (1, MANY, _extreme(-1)),
    "max": (1, MANY, _extreme(1)),
    "len": (1, 1, length),
    "starts": (2, 2, lambda a, b: text(a).startswith(text(b))),
    "contains": (2, 2, contains),
    "date_add": (2, 2, date_add),
    "date_diff": (2, 2, lambda a, b: (day(a) - day(b)).days),
    "concat": (1, MANY, joined),
}
