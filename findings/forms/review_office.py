"""Forms of how the firm reviews: the policy, a visit's reader, a cover."""

from __future__ import annotations

from typing import Any

from django import forms

from findings.selectors.review_policy import Policy
from inspections.forms.bookings import day
from inspections.forms.fields import Pairs, line, number, picked


def several(label: str) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label=label,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": "Choose from those listed."},
    )


def _choose(field: forms.Field, choices: Pairs) -> None:
    assert isinstance(field, forms.ChoiceField)  # noqa: S101  # for mypy
    field.choices = choices


class PolicyForm(forms.Form):
    """What a person has to read, and what of the library's words may pass."""

    library_passes = forms.BooleanField(
        label="The library's own words may pass unread", required=False
    )
    levels = several("Always read findings of these levels")
    inspectors = several("Read everything of")
    share = number("Of a hundred that could pass, read", 0, 100, required=True)

    def __init__(
        self, *args: Any, levels: Pairs, inspectors: Pairs, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        _choose(self.fields["levels"], levels)
        _choose(self.fields["inspectors"], inspectors)

    def policy(self) -> Policy:
        given = self.cleaned_data
        return Policy(
            library_passes=given["library_passes"],
            levels=tuple(given["levels"]),
            inspectors=tuple(given["inspectors"]),
            share=given["share"],
        )


class TurnForm(forms.Form):
    """Who reads this visit; nobody named means whoever is free."""

    reader = picked("Who reads it", [])
    because = line("Because", 300)

    def __init__(self, *args: Any, readers: Pairs, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _choose(self.fields["reader"], [("", "whoever is free"), *readers])


class CoverForm(forms.Form):
    """Who is away, from when to when, and who reads meanwhile."""

    away = picked("Who is away", [])
    by = picked("Who covers", [])
    first_day = day("First day away", required=True)
    last_day = day("Last day away", required=True)
    because = line("Because", 300, required=True)

    def __init__(self, *args: Any, readers: Pairs, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("away", "by"):
            _choose(self.fields[name], [("", "—"), *readers])
            self.fields[name].required = True
