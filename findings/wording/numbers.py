"""Numbers with units in a text, and whether they agree with what was recorded."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from findings.wording.context import Context, Fact, Remark
from findings.wording.words import Words

FAMILIES = {
    "A": ("a", "amp", "amps", "ampere", "amperes"),
    "V": ("v", "volt", "volts"),
    "W": ("w", "watt", "watts"),
    "AWG": ("awg", "gauge"),
    "in": ("in", "inch", "inches"),
    "ft": ("ft", "foot", "feet"),
    "F": ("f", "°f", "degf"),
    "psi": ("psi",),
    "s": ("s", "second", "seconds"),
    "pct": ("%", "percent", "pct"),
}
UNITS = {name: family for family, names in FAMILIES.items() for name in names}
INCHES_PER_FOOT = 12
# "3 1/2 in", "12 AWG", "2/0 AWG", "1,200 W", "120 °F". A letter right after a unit
# makes it another word.
NUMBER = re.compile(
    r"(?<![\w./-])(?P<n>\d[\d,]*(?:\.\d+)?)(?P<frac>[ -]\d+/\d+|/\d+)?"
    r"\s?-?(?P<unit>°F|%|A|V|W|F|AWG|in|ft|psi|s|amps?|amperes?|volts?|watts?|gauge|"
    r"inch(?:es)?|foot|feet|seconds?|percent)(?!\w)",
)


@dataclass(frozen=True, slots=True)
class Found:
    """A number in a text, where it stands, and how exactly it was written."""

    fact: Fact
    start: int
    end: int
    step: float


def found_in(text: str) -> list[Found]:
    """Return the numbers with a unit in a text."""
    return list(_found(text))


def _found(text: str) -> Iterator[Found]:
    for match in NUMBER.finditer(text):
        whole = match["n"].replace(",", "").rstrip(".")
        fraction = (match["frac"] or "").strip(" -")
        unit = UNITS[match["unit"].lower()]
        label = f"{match['n']}{match['frac'] or ''}"
        if unit == "AWG" and fraction.startswith("/"):
            yield Found(Fact(label, -float(whole), unit), *match.span(), 0.0)
            continue
        decimals = len(whole.partition(".")[2])
        value = float(whole) + _part(fraction)
        step = 0.5 / 10**decimals if not fraction else 1 / 32
        step *= INCHES_PER_FOOT if unit == "ft" else 1
        yield Found(_same(Fact(label, value, unit)), *match.span(), step)


def _part(fraction: str) -> float:
    if not fraction or fraction.startswith("/"):
        return 0.0
    top, _, bottom = fraction.partition("/")
    return float(top) / float(bottom) if float(bottom) else 0.0


def _same(fact: Fact) -> Fact:
    """Bring feet to inches, so that 5 ft and 60 in are one number."""
    if fact.unit == "ft":
        return Fact(fact.label, fact.value * INCHES_PER_FOOT, "in")
    return fact


def normal(label: Any, value: Any, unit: Any) -> Fact | None:
    """Return a stored fact as a number, None when it is none."""
    family = UNITS.get(str(unit or "").strip().lower())
    text = str(value if value is not None else "").strip().replace(",", "")
    if family is None or isinstance(value, bool):
        return None
    if family == "AWG" and text.endswith("/0"):
        text = f"-{text.removesuffix('/0')}"
    try:
        return _same(Fact(str(label or ""), float(text), family))
    except ValueError:
        return None


def number_remarks(words: Words, around: Context) -> Iterator[Remark]:
    """Point out numbers that neither a record nor the passage has."""
    for part, text in words.parts():
        for number in found_in(text):
            if message := _disagrees(number, around):
                yield Remark(part, number.start, number.end, "number", message)


def _disagrees(number: Found, around: Context) -> str:
    recorded = [f for f in around.facts if f.unit == number.fact.unit]
    if not recorded:
        return ""
    for fact in (*recorded, *around.known):
        if fact.unit == number.fact.unit and _close(fact, number.fact, number.step):
            return ""
    known = ", ".join(dict.fromkeys(_say(fact) for fact in recorded))
    return f"The record has {known}; these words have another number."


def _close(one: Fact, other: Fact, step: float) -> bool:
    return abs(one.value - other.value) <= step


def _say(fact: Fact) -> str:
    if fact.unit == "AWG" and fact.value < 0:
        return f"{-fact.value:g}/0 AWG"
    unit = {"F": "°F", "pct": "%"}.get(fact.unit, fact.unit)
    return f"{fact.value:g} {unit}"
