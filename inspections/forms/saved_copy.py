"""A phone's saved copy and the words that open it."""

from django import forms

MOST_BYTES = 3 * 1024**3


class SavedCopyForm(forms.Form):
    """The file from the phone; its words are never kept."""

    file = forms.FileField(
        label="The file from the phone",
        help_text="It ends in .kpcopy.",
        error_messages={"required": "Choose the file that was saved on the phone."},
    )
    words = forms.CharField(
        label="The words that open it",
        max_length=1000,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
        error_messages={"required": "Write the words that were chosen on the phone."},
    )
