"""A form for any kind of record, built from the visit's vocabulary and its labels."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any, Final

from django import forms

from findings.selectors.field.routes import FieldLabel, labels, value_words
from inspections.forms.fields import Pairs, decimal, line, number, one_of, picked, text
from inspections.log.forms import Form
from inspections.services.entries import words

MANY: Final = 6  # more choices than this are picked from a list
NUMBERS: Final = re.compile(r"\d+(\.\d{1,3})?")


class RecordForm(forms.Form):
    """Fields of one record, the version of the page, and the record's own id."""

    shown = forms.IntegerField(
        required=False, min_value=0, widget=forms.HiddenInput, label="Version"
    )
    record_id = forms.UUIDField(required=False, widget=forms.HiddenInput, label="Entry")

    def recorded(self) -> dict[str, Any]:
        """Return what was typed in the forms that the log takes; None for empty."""
        return {
            name: as_recorded(value)
            for name, value in self.cleaned_data.items()
            if name not in {"shown", "record_id"}
        }

    @property
    def version(self) -> int:
        return int(self.cleaned_data.get("shown") or 0)


def form_for(
    kind: str,
    names: Iterable[str] = (),
    choices: Mapping[str, Pairs] | None = None,
    needed: Iterable[str] = (),
) -> type[RecordForm]:
    """Return a form class for some or all labelled fields of a kind of record."""
    told = labels().kinds[kind].fields
    fields = {
        name: _field(kind, name, told[name], (choices or {}).get(name))
        for name in (names or told)
    }
    for name in needed:
        if name in fields:
            fields[name].required = True
    return type("TypedForm", (RecordForm,), dict(fields))


def as_recorded(value: Any) -> Any:
    """Return a cleaned value as the log holds it: decimals are text, empty is None."""
    if isinstance(value, Decimal):
        return format(value.normalize(), "f")
    if isinstance(value, str):
        return value.strip().replace("\r\n", "\n") or None
    return value


def _field(kind: str, name: str, told: FieldLabel, pairs: Pairs | None) -> forms.Field:
    form = words().kinds[kind][name]
    if pairs is not None:
        made: forms.Field = _given(told.label, form, pairs)
    else:
        made = _MAKERS.get(form.name, _text)(told.label, form)
    made.help_text = told.hint
    return made


def _given(label: str, form: Form, pairs: Pairs) -> forms.Field:
    """Return a field for choices that the visit itself gives."""
    return _ticks(label, pairs) if form.name == "list" else _choice(label, pairs)


def _choice(label: str, pairs: Pairs) -> forms.ChoiceField:
    return (one_of if len(pairs) <= MANY else picked)(label, pairs)


def _options(form: Form) -> Pairs:
    return [(value, value_words(value)) for value in form.args]


def _of_choice(label: str, form: Form) -> forms.Field:
    return _choice(label, _options(form))


def _of_choices(label: str, form: Form) -> forms.Field:
    return _ticks(label, _options(form))


def _ticks(label: str, pairs: Pairs) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label=label,
        choices=pairs,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )


def _of_int(label: str, form: Form) -> forms.Field:
    return number(label, int(form.args[0]), int(form.args[1]))


def _of_decimal(label: str, form: Form) -> forms.Field:
    return decimal(label, int(form.args[0]), int(form.args[1]))


def _of_flag(label: str, _form: Form) -> forms.Field:
    return forms.BooleanField(label=label, required=False)


def _of_line(label: str, form: Form) -> forms.Field:
    return line(label, int(form.args[0]))


def _text(label: str, form: Form) -> forms.Field:
    return text(label, int(form.args[0]) if form.args else 1000)


class NumbersField(forms.CharField):
    """Numbers with commas between them, kept as a list of decimals in text."""

    def to_python(self, value: Any) -> Any:
        given = super().to_python(value)
        parts = [part.strip() for part in (given or "").split(",") if part.strip()]
        if not all(NUMBERS.fullmatch(part) for part in parts):
            raise forms.ValidationError("Write numbers with commas: 2.5, 9, 14")
        return parts or None

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(map(str, value)) if isinstance(value, list) else value


def _of_list(label: str, _form: Form) -> forms.Field:
    return NumbersField(label=label, required=False, max_length=400)


_MAKERS: Final[dict[str, Callable[[str, Form], forms.Field]]] = {
    "choice": _of_choice,
    "choices": _of_choices,
    "int": _of_int,
    "decimal": _of_decimal,
    "flag": _of_flag,
    "line": _of_line,
    "list": _of_list,
    "text": _text,
}
