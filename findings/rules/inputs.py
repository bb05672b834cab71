"""Brings one input to the form the rules read, or says which field is wrong."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from findings.rules import exact, units

UNKNOWN = frozenset({"unknown", "not_known", "could_not_see", "not_seen", ""})
FIRST_YEAR, LAST_YEAR = 1600, 2100
MOST_THINGS = 200
SLOTS = ("hot", "neutral", "ground")
YES, NO = frozenset({"yes", "true"}), frozenset({"no", "false"})
SIZES = (
    "18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0",
    "4/0", "250", "300", "350", "400", "500", "600", "700", "750", "800", "900", "1000",
)  # fmt: skip
MATERIALS = {
    "cu": "cu", "copper": "cu", "al": "al", "aluminium": "al", "aluminum": "al",
    "copper_clad_al": "cca", "copper_clad_aluminium": "cca",
    "copper_clad_aluminum": "cca", "copper-clad": "cca", "cca": "cca",
    "tinned_copper": "cu",
}  # fmt: skip


class BadInput(ValueError):
    """A value that cannot be; the message names the field."""

    def __init__(self, name: str, message: str) -> None:
        super().__init__(f"{name}: {message}")
        self.field = name


@dataclass(frozen=True)
class InputSpec:
    """What a rule says of one of its inputs."""

    name: str
    kind: str
    unit: str = ""
    label: str = ""
    choices: tuple[str, ...] = ()
    low: str | int | None = None
    high: str | int | None = None


def normal(spec: InputSpec, value: Any) -> Any:
    """Give the value in the rules' form; None for unknown. Raises BadInput."""
    if value is None:
        return None
    # What was *said* may be "unknown", which differs from nothing said.
    if isinstance(value, str) and value.strip() in UNKNOWN and spec.kind != "said":
        return None
    return KINDS[spec.kind](spec, value)


def _number(spec: InputSpec, value: Any) -> Any:
    wire = exact.from_any(value)
    if wire is None and isinstance(value, str) and spec.unit:
        try:
            wire = units.converted(value, spec.unit)
        except units.UnknownUnit as error:
            raise BadInput(spec.name, str(error)) from error
    if wire is None:
        raise BadInput(spec.name, f"{value!r} is not a number")
    return _in_range(spec, wire)


def _in_range(spec: InputSpec, wire: Any) -> Any:
    number = exact.parse(wire)
    low, high = exact.parse(spec.low), exact.parse(spec.high)
    unit = f" {spec.unit}" if spec.unit else ""
    if number is not None and low is not None and number < low:
        raise BadInput(spec.name, f"{wire}{unit} is below {spec.low}")
    if number is not None and high is not None and number > high:
        raise BadInput(spec.name, f"{wire}{unit} is above {spec.high}")
    return wire


def _count(spec: InputSpec, value: Any) -> Any:
    if isinstance(value, list):
        return len(value)
    wire = _number(spec, value)
    if not isinstance(wire, int):
        raise BadInput(spec.name, f"{value!r} is not a whole number")
    return wire


def _flag(spec: InputSpec, value: Any) -> Any:
    if isinstance(value, bool):
        return value
    text = str(value).strip().lower()
    if text in YES | NO:
        return text in YES
    raise BadInput(spec.name, f"{value!r} is neither yes nor no")


def _choice(spec: InputSpec, value: Any) -> Any:
    if isinstance(value, bool):
        value = {True: ("on", "yes"), False: ("off", "no")}[value]
        value = next((word for word in value if word in spec.choices), value[0])
    text = str(value).strip()
    for choice in spec.choices:
        if choice.lower() == text.lower():
            return choice
    listed = ", ".join(spec.choices)
    raise BadInput(spec.name, f"{value!r} is none of {listed}")


def _word(spec: InputSpec, value: Any) -> Any:
    if isinstance(value, list | dict | bool):
        raise BadInput(spec.name, f"{value!r} is not a word")
    return str(value).strip()


def _size(spec: InputSpec, value: Any) -> Any:
    text = re.sub(r"(?i)\s*(awg|kcmil|mcm|#)\s*", "", str(value)).strip()
    text = {"0": "1/0", "00": "2/0", "000": "3/0", "0000": "4/0"}.get(text, text)
    if isinstance(value, bool) or text not in SIZES:
        raise BadInput(spec.name, f"{value!r} is no wire size")
    return text


def _material(spec: InputSpec, value: Any) -> Any:
    found = MATERIALS.get(str(value).strip().lower())
    if found is None:
        raise BadInput(spec.name, f"{value!r} is no conductor material")
    return found


def _year(spec: InputSpec, value: Any) -> Any:
    wire = exact.from_any(value)
    if not isinstance(wire, int) or not FIRST_YEAR <= wire <= LAST_YEAR:
        raise BadInput(spec.name, f"{value!r} is no year")
    return wire


def _date(spec: InputSpec, value: Any) -> Any:
    text = value.isoformat() if isinstance(value, date) else str(value)
    if re.fullmatch(r"\d{4}", text):
        return text
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise BadInput(spec.name, f"{value!r} is no date") from error


def _list(spec: InputSpec, value: Any) -> Any:
    if isinstance(value, list):
        return [exact_inside(item) for item in value]
    # A bare count stands for so many things of which nothing more is known.
    count = None if isinstance(value, bool) else exact.from_any(value)
    if spec.low is not None and isinstance(count, int) and 0 <= count <= MOST_THINGS:
        return [{} for _ in range(count)]
    if value == "none":
        return []
    raise BadInput(spec.name, f"{value!r} is not a list")


def _slots(spec: InputSpec, value: Any) -> Any:
    # Volts of hot, neutral and ground, by name or in that order.
    if isinstance(value, list) and len(value) == len(SLOTS):
        value = dict(zip(SLOTS, value, strict=True))
    return _object(spec, value)


def _object(spec: InputSpec, value: Any) -> Any:
    if not isinstance(value, Mapping):
        raise BadInput(spec.name, f"{value!r} is not a set of named values")
    return exact_inside(value)


def exact_inside(value: Any) -> Any:
    """Give the same structure with every float made an exact number."""
    if isinstance(value, Mapping):
        return {str(key): exact_inside(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [exact_inside(inner) for inner in value]
    return exact.from_any(value) if isinstance(value, float) else value


KINDS: dict[str, Callable[[InputSpec, Any], Any]] = {
    "number": _number,
    "count": _count,
    "flag": _flag,
    "choice": _choice,
    "word": _word,
    "said": _word,
    "size": _size,
    "material": _material,
    "year": _year,
    "date": _date,
    "list": _list,
    "object": _object,
    "slots": _slots,
}
