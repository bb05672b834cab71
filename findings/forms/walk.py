"""Forms of the walk that no single record has: the start, an answer, leaving a stop."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django import forms

from findings.forms.recorded import RecordForm, form_for
from findings.selectors.field.asking import Asked
from findings.selectors.field.walk import counts_asked
from findings.services.field.closing import Closing
from findings.services.field.deciding import Answer
from firm.errors import Refusal
from inspections.forms.fields import line, number

CHOICES = [(one, one) for one in ("use", "change", "not_here", "open", "typed_right")]
REASONS = [
    (one, one)
    for one in (
        "mis_entered",
        "exception_applies",
        "already_covered",
        "could_not_see_enough",
    )
]


MOST_KEYS = 200
LONGEST_KEY = 160


class StartForm(forms.Form):
    """How many of each kind of room the house has."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for key, name, usual, most in counts_asked():
            self.fields[key] = number(name, 0, most, initial=usual)

    def counts(self) -> dict[str, int]:
        return {key: value or 0 for key, value in self.cleaned_data.items()}


class KeysField(forms.Field):
    """The proposals that an answer is given to: nearly always one."""

    widget = forms.MultipleHiddenInput
    default_error_messages = {"invalid": "Choose something that is offered."}

    def to_python(self, value: Any) -> tuple[str, ...]:
        keys = tuple(dict.fromkeys(filter(None, value or ())))
        if len(keys) > MOST_KEYS or any(len(key) > LONGEST_KEY for key in keys):
            raise forms.ValidationError(self.error_messages["invalid"], "invalid")
        return keys


class DecisionForm(forms.Form):
    """An answer to a proposal, or to repeats of it."""

    key = KeysField()
    choice = forms.ChoiceField(choices=CHOICES)
    consequence = forms.CharField(max_length=40, required=False)
    timing = forms.CharField(max_length=40, required=False)
    reason = forms.ChoiceField(choices=REASONS, required=False)
    reason_text = forms.CharField(max_length=500, required=False)
    shown = forms.IntegerField(min_value=0, required=False)

    def answer(self) -> Answer:
        given = dict(self.cleaned_data)
        return Answer(keys=given.pop("key"), **given)

    def first_problem(self) -> str:
        """Return the first thing wrong as one sentence."""
        for name, errors in self.errors.items():
            return f"{name.replace('_', ' ')}: {errors[0]}"
        return ""


class LeaveStopForm(forms.Form):
    """What was struck out, and why a moment was enough."""

    struck = forms.MultipleChoiceField(required=False, label="Struck out")
    reason = line("Why a short look is enough", 500)
    shown = forms.IntegerField(min_value=0, required=False, label="Version")

    def __init__(self, *args: Any, duties: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        struck = self.fields["struck"]
        assert isinstance(struck, forms.MultipleChoiceField)  # noqa: S101  # for mypy
        struck.choices = [(duty, duty) for duty in duties]

    def closing(self, stop: UUID, opened: str, newest: int) -> Closing:
        given = self.cleaned_data
        shown = given["shown"] if given["shown"] is not None else newest
        return Closing(stop, given["struck"], given["reason"], opened, shown)


def form_of(asked: Asked, data: Any = None) -> RecordForm:
    """Return the form that an entry asks for, with what is there already."""
    kind = form_for(asked.kind, asked.names, asked.choices, asked.needed)
    first = {**asked.initial, "shown": asked.shown, "record_id": asked.rec}
    return kind(data, initial=first)


def say_why(form: forms.Form, refusal: Refusal) -> None:
    """Put a refusal at its field, or over the form."""
    field = refusal.field if refusal.field in form.fields else None
    form.add_error(field, refusal.message)
