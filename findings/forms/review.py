"""Forms of review and signing: they check what was typed, and save nothing."""

from __future__ import annotations

from typing import Any

from django import forms

from inspections.forms.fields import Pairs, line, one_of, picked, text

ASKED_BY: Pairs = [
    ("NOBODY", "nobody"),
    ("CLIENT", "the client"),
    ("AGENT", "an agent"),
    ("SELLER", "the seller"),
    ("OWN", "our own idea"),
]


class WordsForm(forms.Form):
    """The four parts of a finding's words and who asked for the change."""

    seen = text("What was seen, and where", 4000, rows=4)
    matters = text("Why it matters", 4000, rows=4)
    action = text("What to do, and which trade does it", 4000, rows=4)
    when = text("How soon", 1000, rows=2)
    asked_by = one_of("Who asked?", ASKED_BY, initial="NOBODY", required=True)
    version = forms.IntegerField(widget=forms.HiddenInput)


class SubstanceForm(forms.Form):
    """Changes of substance; each that differs waits for the inspector's yes."""

    consequence = picked("What it does", [])
    timing = picked("How soon", [])
    trade = picked("Who puts it right", [])
    places = line("Where", 300)
    withdrawn = forms.BooleanField(label="Take it out of the report", required=False)
    reason = line("Because", 300, required=True)
    change_asked_by = one_of("Who asked?", ASKED_BY, initial="NOBODY", required=True)

    def __init__(
        self, *args: Any, levels: dict[str, Pairs] | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        for name, choices in (levels or {}).items():
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)  # noqa: S101  # for mypy
            field.choices = [("", "as it is"), *choices]


class NoteForm(forms.Form):
    """A note; `about` names a finding, photo or duty, or is the visit."""

    text = text("Note", 2000, required=True)
    about = forms.CharField(max_length=80, required=False, widget=forms.HiddenInput)


class AnswerForm(forms.Form):
    """The answer that settles a note."""

    answer = line("Answer", 2000, required=True)


class ReturnForm(forms.Form):
    """Sending a finding back to the inspector."""

    note = text("What should the inspector look at?", 2000, required=True)


class SignForm(forms.Form):
    """The inspector stands for what is on the screen."""

    shown_digest = forms.CharField(max_length=64, widget=forms.HiddenInput)
    was_there = forms.BooleanField(
        label="I was there, I have read this as it stands, and it says what I found.",
        error_messages={"required": "Tick this to sign."},
    )
