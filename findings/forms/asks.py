"""Forms of a state's standard and of what it asks of a visit."""

from __future__ import annotations

from typing import Any

from django import forms

from findings.selectors.visit_asks import INTERESTS
from inspections.forms.bookings import day
from inspections.forms.fields import Pairs, line, one_of, picked, text


class CheckForm(forms.Form):
    """Lines that a licensed reader has compared with the official text."""

    lines = forms.MultipleChoiceField(
        label="Lines read in the official text",
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": "Tick at least one line that you have read.",
            "invalid_choice": "Choose from the lines listed.",
        },
    )
    note = line("Where you read it, and when", 300)

    def __init__(self, *args: Any, choices: Pairs, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["lines"]
        assert isinstance(field, forms.MultipleChoiceField)  # noqa: S101  # for mypy
        field.choices = choices


class NoticeForm(forms.Form):
    """Words fixed by law, copied by the firm from the official text."""

    slot = forms.CharField(widget=forms.HiddenInput, max_length=60)
    text = text("The notice, word for word", 4000, rows=6, required=True)
    source = line("Where and when you read it", 300, required=True)


class SwitchOnForm(forms.Form):
    """The owner puts a standard in force and says who answers for it."""

    keeper = picked("Who answers for it and hears of changes", [])

    def __init__(self, *args: Any, people: Pairs, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["keeper"]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101  # for mypy
        field.choices, field.required = [("", "—"), *people], True


class BecauseForm(forms.Form):
    """A reason, kept with what was done."""

    because = line("Why", 300, required=True)


class InterestForm(forms.Form):
    """Something that may make the firm look partial."""

    kind = one_of("What is it?", list(INTERESTS), required=True)
    text = line("Say it as the client will read it", 500, required=True)
    work_on = day("Day of the work, for work at the house")


class ToldForm(forms.Form):
    """How an interest was told in writing, and whether all agreed."""

    how = line("How and when it was told in writing", 120, required=True)
    consent = forms.BooleanField(
        label="Everybody concerned has agreed in writing", required=False
    )


class PaidForm(forms.Form):
    """The day on which the fee was paid in full."""

    paid_on = day("Paid in full on", required=True)
