"""Template tags of the house style: fields, local times, differences, joined words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from difflib import SequenceMatcher
from typing import Any, Literal
from zoneinfo import ZoneInfo

from django import forms, template
from django.forms.boundfield import BoundField
from django.utils.safestring import SafeString

register = template.Library()

Kind = Literal["same", "added", "taken"]
Look = Literal["", "text", "choice", "lines", "large", "stepper", "tick", "hidden"]
WORDS = re.compile(r"\s*\S+\s*")
LEAST_SAME = 3


@dataclass(frozen=True, slots=True)
class Option:
    """One radio or tick of a choice."""

    id: str
    name: str
    type: str
    value: str
    label: str
    checked: bool


@dataclass(frozen=True, slots=True)
class FieldRow:
    """A form field ready to print."""

    id: str
    look: str
    label: str
    help: str
    needed: bool
    errors: tuple[str, ...]
    described_by: str
    control: SafeString
    options: tuple[Option, ...]
    unit: str
    extra_class: str


@dataclass(frozen=True, slots=True)
class Piece:
    """A run of words that stayed, was added or was taken out."""

    kind: Kind
    text: str


@register.inclusion_tag("firm/_field.html", name="field")
def field_tag(
    bound: BoundField, look: Look = "", unit: str = "", help_text: str = ""
) -> dict[str, FieldRow]:
    """Print one field with label, help and error tied to its control."""
    return {"row": field_row(bound, look, unit, help_text)}


def field_row(
    bound: BoundField, look: Look = "", unit: str = "", help_text: str = ""
) -> FieldRow:
    shown_as = look or _usual_look(bound)
    is_choice = shown_as in {"choice", "lines", "large"}
    field_id = bound.auto_id
    help_words = help_text or str(bound.help_text)
    errors = tuple(str(error) for error in bound.errors)
    described = [f"{field_id}_help"] * bool(help_words and shown_as != "stepper")
    described += [f"{field_id}_error"] * bool(errors)
    return FieldRow(
        id=field_id,
        look="choice" if is_choice else shown_as,
        label=str(bound.label),
        help=help_words,
        needed=bound.field.required and shown_as not in {"stepper", "tick"},
        errors=errors,
        described_by=" ".join(described),
        control=_control(bound, shown_as, described),
        options=_options(bound) if is_choice else (),
        unit=unit,
        extra_class="" if shown_as == "choice" else f"choice--{shown_as}",
    )


def _usual_look(bound: BoundField) -> str:
    widget = bound.field.widget
    if widget.is_hidden:
        return "hidden"
    if isinstance(widget, forms.RadioSelect | forms.CheckboxSelectMultiple):
        return "choice"
    if isinstance(widget, forms.CheckboxInput):
        return "tick"
    return "text"


def _control(bound: BoundField, look: str, described: list[str]) -> SafeString:
    # The five attributes are ours; Django would add its own description ids.
    attrs: dict[str, Any] = {"id": bound.auto_id}
    if described:
        attrs["aria-describedby"] = " ".join(described)
    if bound.errors:
        attrs["aria-invalid"] = "true"
    if look == "stepper":
        attrs["inputmode"] = "numeric"
    return bound.as_widget(attrs=attrs)


def _options(bound: BoundField) -> tuple[Option, ...]:
    several = isinstance(bound.field, forms.MultipleChoiceField)
    value = bound.value()
    chosen = {str(one) for one in (value or ())} if several else {str(value or "")}
    choices: Iterable[tuple[Any, Any]] = bound.field.choices  # type: ignore[attr-defined]
    return tuple(
        Option(
            id=f"{bound.auto_id}_{place}",
            name=bound.html_name,
            type="checkbox" if several else "radio",
            value=str(key),
            label=str(label),
            checked=str(key) in chosen,
        )
        for place, (key, label) in enumerate(choices)
    )


@register.filter
def local_time(moment: datetime | None, zone: str) -> str:
    """Return the clock time of a moment in the property's zone: 9:05 am."""
    if moment is None:
        return ""
    there = moment.astimezone(ZoneInfo(zone))
    return f"{there:%I:%M}".lstrip("0") + (" am" if there.hour < 12 else " pm")  # noqa: PLR2004


@register.filter
def local_day(moment: datetime | date | None, zone: str = "UTC") -> str:
    """Return the day of a moment in the property's zone: Wed 4 March 2026."""
    if moment is None:
        return ""
    day = moment.astimezone(ZoneInfo(zone)) if isinstance(moment, datetime) else moment
    return f"{day:%a} {day.day} {day:%B %Y}"


@register.filter
def local_moment(moment: datetime | None, zone: str) -> str:
    """Return day and clock time in the property's zone."""
    if moment is None:
        return ""
    return f"{local_day(moment, zone)}, {local_time(moment, zone)}"


@register.filter
def joined(words: Iterable[object], last: str = "and") -> str:
    """Join words as a sentence does: a, b and c."""
    parts = [str(word) for word in words]
    if len(parts) < 2:  # noqa: PLR2004
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {last} {parts[-1]}"


@register.filter
def counted(number: int, words: str) -> str:
    """Return a number with its noun: 3|counted:"open line,open lines,nothing open"."""
    one, many, *none = words.split(",")
    if number == 0 and none:
        return none[0]
    return f"{number} {one if number == 1 else many}"


@register.inclusion_tag("firm/_difference.html")
def difference(before: str, now: str) -> dict[str, list[Piece]]:
    """Print the words of `now` with what changed since `before` visible."""
    return {"pieces": difference_pieces(before, now)}


def difference_pieces(before: str, now: str) -> list[Piece]:
    """Return the runs of words that stayed, were taken out or were added."""
    old, new = WORDS.findall(before), WORDS.findall(now)
    pieces: list[Piece] = []
    for same, taken, added in _runs(old, new):
        if same:
            pieces.append(Piece("same", same))
            continue
        changes: tuple[tuple[Kind, str], ...] = (("taken", taken), ("added", added))
        for kind, text in changes:
            if text.strip():
                pieces += [Piece(kind, text.strip()), Piece("same", " ")]
    return pieces


def _runs(old: list[str], new: list[str]) -> Iterator[tuple[str, str, str]]:
    """Give (same, taken, added); a lone word between two changes joins them."""
    codes = SequenceMatcher(a=old, b=new, autojunk=False).get_opcodes()
    taken = added = ""
    for place, (what, old_from, old_to, new_from, new_to) in enumerate(codes):
        inside = 0 < place < len(codes) - 1
        if what == "equal" and not (inside and old_to - old_from < LEAST_SAME):
            if taken or added:
                yield "", taken, added
            taken = added = ""
            yield "".join(old[old_from:old_to]), "", ""
            continue
        taken += "".join(old[old_from:old_to])
        added += "".join(new[new_from:new_to])
    if taken or added:
        yield "", taken, added
