"""The forms a value may have, as the vocabulary names them, from line to list."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Final

_DECIMAL: Final = re.compile(r"-?(0|[1-9][0-9]{0,11})(\.[0-9]{1,9})?")
_INSTANT: Final = re.compile(
    r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,9})?(Z|\+00:00)", re.ASCII
)
_DATE: Final = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_UUID: Final = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_BREAKS: Final = re.compile("[\n\r\v\f\x85\u2028\u2029]")

Problem = str | None


@dataclass(frozen=True, slots=True)
class Form:
    """One form with its limits or its options; `problem` says what does not fit."""

    name: str
    args: tuple[str, ...] = ()

    def problem(self, value: Any) -> Problem:
        return _PROBLEMS[self.name](value, self.args)


def parse(text: str) -> Form:
    """Read `int(1,400)` or `choice([a, b])`; raises ValueError."""
    found = re.fullmatch(r"([a-z]+)(?:\((.*)\))?", text.strip(), re.DOTALL)
    if found is None or found[1] not in _PROBLEMS:
        raise ValueError(f"{text!r} is not a form")
    inner = (found[2] or "").strip().removeprefix("[").removesuffix("]")
    args = tuple(part.strip().strip('"') for part in inner.split(",") if part.strip())
    form = Form(found[1], args)
    if len(args) < _LEAST_ARGS.get(form.name, 0) or len(set(args)) != len(args):
        raise ValueError(f"{text!r}: its limits or options are not usable")
    form.problem("")  # limits that are no numbers raise here, not on a visit
    form.problem(0)
    return form


def _text(value: Any, args: tuple[str, ...]) -> Problem:
    if not isinstance(value, str):
        return "must be text"
    most = int(args[0])
    return f"is longer than {most} characters" if len(value) > most else None


def _line(value: Any, args: tuple[str, ...]) -> Problem:
    problem = _text(value, args)
    if problem is None and _BREAKS.search(value):
        return "must be one line"
    return problem


def _flag(value: Any, _args: tuple[str, ...]) -> Problem:
    return None if isinstance(value, bool) else "must be yes or no"


def _int(value: Any, args: tuple[str, ...]) -> Problem:
    least, most = int(args[0]), int(args[1])
    if not isinstance(value, int) or isinstance(value, bool):
        return "must be a whole number"
    return _outside(value, least, most)


def _decimal(value: Any, args: tuple[str, ...]) -> Problem:
    least, most = Decimal(args[0]), Decimal(args[1])
    if not isinstance(value, str) or not _DECIMAL.fullmatch(value):
        return 'must be a number written as text, such as "36.5"'
    return _outside(Decimal(value), least, most)


def _outside(value: Any, least: Any, most: Any) -> Problem:
    if value < least:
        return f"{value} is less than {least}"
    if value > most:
        return f"{value} is more than {most}"
    return None


def _choice(value: Any, args: tuple[str, ...]) -> Problem:
    if isinstance(value, str) and value in args:
        return None
    return f"must be one of {', '.join(args)}"


def _choices(value: Any, args: tuple[str, ...]) -> Problem:
    if not _is_list_of_texts(value) or not set(value) <= set(args):
        return f"must be a list of {', '.join(args)}"
    return "names an option twice" if len(set(value)) < len(value) else None


def _rec(value: Any, _args: tuple[str, ...]) -> Problem:
    if isinstance(value, str) and _UUID.fullmatch(value):
        return None
    return "must be the id of a record"


def _recs(value: Any, args: tuple[str, ...]) -> Problem:
    if not _is_list_of_texts(value) or any(_rec(part, args) for part in value):
        return "must be a list of record ids"
    return "names a record twice" if len(set(value)) < len(value) else None


def _instant(value: Any, _args: tuple[str, ...]) -> Problem:
    if isinstance(value, str) and _INSTANT.fullmatch(value):
        try:
            datetime.fromisoformat(value[:19])
        except ValueError:
            return "must be a time there is"
        return None
    return 'must be a UTC time such as "2026-11-24T15:02:11Z"'


def _date(value: Any, _args: tuple[str, ...]) -> Problem:
    if isinstance(value, str) and _DATE.fullmatch(value):
        try:
            date.fromisoformat(value)
        except ValueError:
            return "must be a date there is"
        return None
    return 'must be a date such as "2026-11-24"'


def _object(value: Any, _args: tuple[str, ...]) -> Problem:
    return None if isinstance(value, dict) else "must be an object"


def _list(value: Any, _args: tuple[str, ...]) -> Problem:
    return None if isinstance(value, list) else "must be a list"


def _is_list_of_texts(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(part, str) for part in value)


_PROBLEMS: Final[dict[str, Callable[[Any, tuple[str, ...]], Problem]]] = {
    "text": _text,
    "line": _line,
    "flag": _flag,
    "int": _int,
    "decimal": _decimal,
    "choice": _choice,
    "choices": _choices,
    "rec": _rec,
    "recs": _recs,
    "instant": _instant,
    "date": _date,
    "object": _object,
    "list": _list,
}
_LEAST_ARGS: Final = {
    "text": 1,
    "line": 1,
    "int": 2,
    "decimal": 2,
    "choice": 1,
    "choices": 1,
    "rec": 1,
    "recs": 1,
}
