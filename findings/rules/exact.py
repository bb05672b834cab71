"""Exact numbers: whole numbers and decimal strings, never floats."""

import re
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TypeAlias

# Longer strings are words, not numbers: no reading has thirty digits, and the
# same bound in the browser keeps both sides alike.
NUMBER = re.compile(r"-?(0|[1-9][0-9]{0,29})(\.[0-9]{1,30})?\Z")

Wire: TypeAlias = int | str
HALF_UP, UP, DOWN = "half_up", "up", "down"
MOST_EXPONENT, MOST_ROOT = 10, 1000


def parse(value: object) -> Fraction | None:
    """Give the exact number a value stands for, or None when it is not one."""
    if isinstance(value, bool):
        return None
    return _exact(value) if isinstance(value, int | str) else None


# Readings repeat: heights, sizes, years. A fraction never changes, so it may be shared.
@lru_cache(maxsize=8192)
def _exact(value: int | str) -> Fraction | None:
    if isinstance(value, int) or NUMBER.match(value):
        return Fraction(value)
    return None


def to_wire(number: Fraction) -> Wire:
    """Give a whole number as int, any other as its shortest decimal string.

    Only finite decimals come here: sums and products of finite decimals are
    finite, and division names its places.
    """
    if number.denominator == 1:
        return number.numerator
    twos = fives = 0
    rest = number.denominator
    while rest % 2 == 0:
        rest, twos = rest // 2, twos + 1
    while rest % 5 == 0:
        rest, fives = rest // 5, fives + 1
    if rest != 1:
        raise ValueError(f"{number} has no finite decimal form")
    places = max(twos, fives)
    digits = str(abs(number.numerator) * 10**places // number.denominator)
    digits = digits.rjust(places + 1, "0")
    sign = "-" if number < 0 else ""
    return f"{sign}{digits[:-places]}.{digits[-places:]}"


def rounded(number: Fraction, places: int, how: str = HALF_UP) -> Fraction:
    """Round to decimal places; half goes away from zero, up towards plus."""
    scaled = number * 10**places
    floor = scaled.numerator // scaled.denominator
    if how == DOWN:
        whole = floor
    elif how == UP:
        whole = floor if scaled == floor else floor + 1
    else:
        away = abs(scaled) + Fraction(1, 2)
        whole = away.numerator // away.denominator * (1 if scaled >= 0 else -1)
    return Fraction(whole, 10**places)


def power(base: Fraction, exponent: Fraction, places: int) -> Fraction:
    """Give base to a positive decimal exponent, rounded down, by whole numbers only."""
    up, down = exponent.numerator, exponent.denominator
    if base <= 0 or not 0 < exponent <= MOST_EXPONENT or down > MOST_ROOT:
        raise ValueError("power takes a positive base and an exponent up to 10")
    scale = 10 ** (places * down)
    top = base.numerator**up * scale // base.denominator**up
    return Fraction(_root(top, down), 10**places)


def _root(value: int, degree: int) -> int:
    """Give the largest whole r with r**degree <= value."""
    if value <= 1 or degree == 1:
        return value
    low, high = 0, 1 << (value.bit_length() // degree + 1)
    while low < high:
        middle = (low + high + 1) // 2
        if middle**degree <= value:
            low = middle
        else:
            high = middle - 1
    return low


def from_any(value: object) -> Wire | None:
    """Give a number from a file's int, float or text; floats by their shortest text."""
    if isinstance(value, float):
        value = format(Decimal(repr(value)), "f")
    number = parse(value.strip() if isinstance(value, str) else value)
    return None if number is None else to_wire(number)
