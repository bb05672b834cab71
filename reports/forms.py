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
    """Somebody with a part in the visit, and how the link reaches them."""

    party = forms.UUIDField()
    shown = forms.BooleanField(required=False)
    with_code = forms.BooleanField(required=False)


class ConsentForm(forms.Form):
    """How and when a client agreed that somebody may read the report."""

    party = forms.UUIDField()
    how = forms.CharField(max_length=60)
    scope = forms.ChoiceField(
        choices=[("FULL", "whole"), ("SUMMARY", "front")], required=False
    )


class CodeForm(forms.Form):
    """The code that was told over another channel, where a link asks for one."""

    code = forms.CharField(
        label="The code we told you",
        max_length=20,
        required=False,
        widget=forms.TextInput(
            attrs={"inputmode": "numeric", "autocomplete": "one-time-code"}
        ),
    )


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
    scope = forms.ChoiceField(
        label="What may they read?",
        choices=[
            ("FULL", "the whole report"),
            ("SUMMARY", "only what matters first, and what could not be seen"),
        ],
        initial="FULL",
        widget=forms.RadioSelect,
    )
    agree = forms.BooleanField(
        label="I agree that this person may read what I chose.",
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


class ListLineForm(forms.Form):
    """One line of a client's own list."""

    words = forms.CharField(
        label="In your own words",
        max_length=500,
        help_text="What you want to raise with your agent or attorney.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    number = forms.IntegerField(
        label="Number of the finding it is about",
        min_value=1,
        max_value=9999,
        required=False,
        help_text="May stay empty.",
    )


class ThreadForm(forms.Form):
    """One message of a thread."""

    text = forms.CharField(
        label="What do you want to know?",
        max_length=3000,
        widget=forms.Textarea(attrs={"rows": 4}),
    )


class QuestionForm(ThreadForm):
    """A question about a finding, or about the report."""

    number = forms.IntegerField(
        label="Number of the finding it is about",
        min_value=1,
        max_value=9999,
        required=False,
        help_text="May stay empty.",
    )


class AnswerForm(forms.Form):
    """An answer; one that alters what the report says waits for its correction."""

    changes_report = forms.TypedChoiceField(
        label="Does the answer change a fact or a level in the report?",
        choices=[("no", "no"), ("yes", "yes, the report has to be corrected first")],
        coerce=lambda value: value == "yes",
        widget=forms.RadioSelect,
        error_messages={"required": "Say whether the report has to change."},
    )
    text = forms.CharField(
        label="Answer", max_length=3000, widget=forms.Textarea(attrs={"rows": 4})
    )


class OverrideForm(forms.Form):
    """Why a report goes although something is still owed."""

    what = forms.ChoiceField(choices=[("PAYMENT", "fee"), ("AGREEMENT", "agreement")])
    because = forms.CharField(max_length=300)


class TakeBackForm(forms.Form):
    """Why no link shows a released issue any more."""

    because = forms.CharField(label="Why is it taken back?", max_length=300)


class ComplaintForm(forms.Form):
    """What somebody holds against a visit, as they said it."""

    received_on = forms.DateField(
        label="Received on", widget=forms.DateInput(attrs={"type": "date"})
    )
    said_by = forms.CharField(label="From", max_length=120)
    how = forms.CharField(
        label="How it came", max_length=60, help_text="By letter, telephone, e-mail."
    )
    words = forms.CharField(
        label="In their words",
        max_length=5000,
        widget=forms.Textarea(attrs={"rows": 6}),
    )
    insurer_by = forms.DateField(
        label="The insurer has to be told by",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
    )


class PaperForm(forms.Form):
    """A paper from outside, kept as it came."""

    file = forms.FileField(label="File", help_text="Up to 25 MB; kept as it is.")
    title = forms.CharField(
        label="What it is", max_length=120, help_text="Radon result, septic ticket."
    )
    author = forms.CharField(label="Who made it", max_length=120)
    licence = forms.CharField(
        label="Their license, if any", max_length=60, required=False
    )


class RecheckForm(forms.Form):
    """Which findings of an earlier report are looked at again."""

    earlier = forms.UUIDField()
    numbers = forms.TypedMultipleChoiceField(
        coerce=int, choices=[(str(n), str(n)) for n in range(1, 1000)]
    )


OUTCOMES = [
    ("PUT_RIGHT", "put right, as far as could be seen"),
    ("PARTLY", "partly put right"),
    ("NOT_YET", "not put right"),
    ("UNSEEN", "could not be seen"),
]


class LookForm(forms.Form):
    """How an item was found this time, with a photo."""

    outcome = forms.ChoiceField(label="How it was found", choices=OUTCOMES)
    words = forms.CharField(max_length=1000, required=False)
    photo = forms.FileField(required=False)
