"""Forms of releases, share links and verification."""

import re

from django import forms
from django.core.exceptions import ValidationError

ASKED_BY = [
    ("NOBODY", "nobody"),
    ("CLIENT", "the client"),
    ("AGENT", "an agent"),
    ("SELLER", "the seller"),
    ("OWN", "our own idea"),
]


class VerifyForm(forms.Form):
    """A digest: 64 figures and letters a to f."""

    sha256 = forms.CharField(label="The file's digest (SHA-256)", max_length=100)

    def clean_sha256(self) -> str:
        value = re.sub(r"[\s:]", "", self.cleaned_data["sha256"]).lower()
        if not re.fullmatch(r"[0-9a-f]{64}", value):
            raise ValidationError(
                "A digest has 64 characters, figures and letters from a to f. "
                "Choose the file below to have it computed here."
            )
        return value


class ReleaseForm(forms.Form):
    """A release; a further issue says what it corrects and who asked."""

    reason = forms.CharField(
        label="What does this issue correct, and why?",
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    asked_by = forms.ChoiceField(
        label="Who asked for it?",
        choices=ASKED_BY,
        initial="NOBODY",
        required=False,
        widget=forms.RadioSelect,
    )


class PartyForm(forms.Form):
    """Somebody with a part in the visit."""

    party = forms.UUIDField()


class ConsentForm(PartyForm):
    """How and when a client agreed that somebody may read the report."""

    how = forms.CharField(max_length=60)


class LetInForm(forms.Form):
    """A client lets one more person read the report."""

    name = forms.CharField(label="Their name", max_length=120)
    email = forms.EmailField(
        label="Their e-mail", help_text="They get a link of their own."
    )
    part = forms.ChoiceField(
        label="Who are they?",
        choices=[("AGENT", "my agent"), ("READER", "somebody else I choose")],
        initial="AGENT",
        widget=forms.RadioSelect,
    )
    agree = forms.BooleanField(
        label="I agree that this person may read the whole report.",
        error_messages={"required": "Tick this to let them in."},
    )


class FreezeForm(forms.Form):
    """An urgent notice; a correction names the notice it replaces and says why."""

    record = forms.UUIDField(widget=forms.HiddenInput)
    replaces = forms.UUIDField(widget=forms.HiddenInput, required=False)
    reason = forms.CharField(
        label="What does the correction change, and why?",
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
