"""Forms of review and signing: they check what was typed, and save nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Self

from django import forms

from findings.services.words import Rewording
from findings.wording.words import PARTS, Words
from firm.errors import Refusal
from inspections.forms.fields import Pairs, line, one_of, picked, text

ASKED_BY: Pairs = [
    ("NOBODY", "nobody"),
    ("CLIENT", "the client"),
    ("AGENT", "an agent"),
    ("SELLER", "the seller"),
    ("OWN", "our own idea"),
]


LEVELS = ("consequence", "timing", "trade")


class WordsForm(forms.Form):
    """The four parts of a finding's words and who asked for the change."""

    seen = text("What was seen, and where", 4000, rows=4)
    matters = text("Why it matters", 4000, rows=4)
    action = text("What to do, and which trade does it", 4000, rows=4)
    when = text("How soon", 1000, rows=2)
    asked_by = one_of("Who asked?", ASKED_BY, initial="NOBODY", required=True)
    version = forms.IntegerField(widget=forms.HiddenInput)

    def at(self, version: int) -> Self:
        """Keep what was typed, to be saved once more on top of a newer version."""
        typed = {name: self.data.get(name) for name in self.data}
        self.data = typed | {"version": str(version)}
        return self

    def rewording(self) -> Rewording:
        given = self.cleaned_data
        parts = {name: given[name].strip() for name in PARTS}
        return Rewording(Words(**parts), given["version"], given["asked_by"])


class SubstanceForm(forms.Form):
    """Changes of substance; each that differs waits for the inspector's yes."""

    consequence = picked("What it does", [])
    timing = picked("How soon", [])
    trade = picked("Who puts it right", [])
    places = line("Where, if elsewhere; a semicolon between places", 300)
    withdrawn = forms.BooleanField(label="Take it out of the report", required=False)
    reason = line("Because", 300, required=True)
    change_asked_by = one_of("Who asked?", ASKED_BY, initial="NOBODY", required=True)

    def __init__(
        self, *args: Any, levels: Mapping[str, Iterable[Any]] | None = None, **kw: Any
    ) -> None:
        super().__init__(*args, **kw)
        for name, choices in (levels or {}).items():
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)  # noqa: S101  # for mypy
            field.choices = [("", "as it is"), *choices]

    def wanted(self) -> dict[str, str]:
        """Return what was asked for, by field; what stays as it is, is empty."""
        given = self.cleaned_data
        wanted = {name: given[name] for name in (*LEVELS, "places")}
        wanted["places"] = "; ".join(
            part.strip() for part in given["places"].split(";") if part.strip()
        )
        return wanted | {"withdrawn": "yes" if given["withdrawn"] else ""}


class CheckForm(forms.Form):
    """The version of the finding that was on the screen when its words were passed."""

    version = forms.IntegerField(widget=forms.HiddenInput)


class YesNoForm(forms.Form):
    """The inspector's answer to a change of substance."""

    answer = one_of("Answer", [("yes", "yes"), ("no", "no")], required=True)


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

    @classmethod
    def showing(cls, digest: str) -> Self:
        return cls(initial={"shown_digest": digest})

    def at(self, digest: str) -> Self:
        """Keep why it was refused, and sign what is shown now, read anew."""
        self.data = {"shown_digest": digest}
        return self


class StandInForm(SignForm):
    """Somebody else stands for what is on the screen, and says why."""

    because = line("Why the inspector cannot sign", 300, required=True)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["was_there"].label = (
            "I have read this as it stands, and I stand for it in the inspector's "
            "place. The report says so."
        )

    def at(self, digest: str) -> Self:
        """Keep the reason; sign what is shown now, read anew."""
        self.data = {
            "shown_digest": digest,
            "because": self.data.get("because", ""),
        }
        return self


def say_why(form: forms.Form, refusal: Refusal) -> None:
    """Put a refusal's sentences at the field it names, else at the form's head."""
    field = refusal.field if refusal.field in form.fields else None
    for said in (refusal.message, *refusal.details):
        form.add_error(field, said)
