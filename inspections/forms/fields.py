"""Kinds of field that forms of every app share: figures, choices, lines of text."""

from __future__ import annotations

from typing import Any

from django import forms

Pairs = list[tuple[str, str]]


def pairs(**words: str) -> Pairs:
    """Return (value, words) in the order written; a trailing _ frees a keyword."""
    return [(value.rstrip("_"), label) for value, label in words.items()]


def number(label: str, least: int, most: int, **more: Any) -> forms.IntegerField:
    """Return a whole-number field that a phone offers figures for."""
    # type=text: type=number drops what it cannot read and changes when scrolled.
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        required=more.pop("required", False),
        widget=forms.TextInput(
            attrs={
                "inputmode": "numeric",
                "autocomplete": "off",
                **more.pop("attrs", {}),
            }
        ),
        error_messages={
            "invalid": "Write a whole number in figures.",
            "min_value": f"The least that can be is {least}.",
            "max_value": f"The most that can be is {most}.",
        },
        **more,
    )


def decimal(label: str, least: int, most: int, **more: Any) -> forms.DecimalField:
    """Return a field for a measured value."""
    return forms.DecimalField(
        label=label,
        min_value=least,
        max_value=most,
        required=more.pop("required", False),
        widget=forms.TextInput(
            attrs={
                "inputmode": "decimal",
                "autocomplete": "off",
                "data-number-pad": True,
            }
        ),
        error_messages={
            "invalid": "Write a number, such as 36 or 36.5.",
            "min_value": f"The least that can be is {least}.",
            "max_value": f"The most that can be is {most}.",
        },
        **more,
    )


def one_of(label: str, choices: Pairs, **more: Any) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label,
        choices=choices,
        required=more.pop("required", False),
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose one.",
            "invalid_choice": "Choose one of those listed.",
        },
        **more,
    )


def picked(label: str, choices: Pairs, **more: Any) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label,
        choices=[("", "—"), *choices],
        required=False,
        error_messages={
            "required": "Choose one.",
            "invalid_choice": "Choose one of those listed.",
        },
        **more,
    )


def line(label: str, most: int, **more: Any) -> forms.CharField:
    messages = {
        "required": "Something is needed here.",
        "max_length": f"At most {most} characters fit; this has %(show_value)d.",
        **more.pop("error_messages", {}),
    }
    return forms.CharField(
        label=label,
        max_length=most,
        required=more.pop("required", False),
        error_messages=messages,
        **more,
    )


def text(label: str, most: int, rows: int = 3, **more: Any) -> forms.CharField:
    widget = forms.Textarea(attrs={"rows": rows, "autocapitalize": "sentences"})
    return line(label, most, widget=widget, **more)
