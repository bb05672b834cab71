"""Forms of the firm's own pages."""

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.core.cache import cache
from django.core.exceptions import ValidationError

from firm.models import PHOTO_LONG_EDGE, PHOTO_QUALITY

_TRIES, _MINUTES = 5, 5


class SignInForm(AuthenticationForm):
    """E-mail and password; five wrong tries close the account's door for a while."""

    error_messages = {
        "invalid_login": "This e-mail and password do not belong together. Check both.",
        "inactive": "This account is switched off. Ask the owner of your firm.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "E-mail"

    def clean(self) -> dict[str, Any]:
        email = str(self.cleaned_data.get("username", "")).lower()
        key = f"sign-in:{email}"
        if int(cache.get(key, 0)) >= _TRIES:
            raise ValidationError(
                f"Too many wrong tries. Wait {_MINUTES} minutes, then try again.",
                code="throttled",
            )
        try:
            cleaned = super().clean()
        except ValidationError:
            cache.add(key, 0, _MINUTES * 60)
            cache.incr(key)
            raise
        cache.delete(key)
        return cleaned


def _figure(label: str, limits: tuple[int, int], help_text: str) -> forms.IntegerField:
    least, most = limits
    # type=text: type=number drops what it cannot read and changes when scrolled.
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        help_text=help_text,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages={
            "required": f"Write a whole number from {least} to {most}.",
            "invalid": f"Write a whole number from {least} to {most}, in figures.",
            "min_value": f"The least that can be is {least}.",
            "max_value": f"The most that can be is {most}.",
        },
    )


class PhotoPolicyForm(forms.Form):
    """What phones send of a picture."""

    originals = forms.ChoiceField(
        label="The picture as the camera made it",
        choices=[
            ("drop", "Let it go once the working copy is safe on the server"),
            ("keep", "Send and keep it too, after all working copies"),
        ],
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose one.",
            "invalid_choice": "Choose one of those listed.",
        },
    )
    long_edge = _figure(
        "Long edge of the working copy",
        PHOTO_LONG_EDGE,
        "A picture that is no longer than this is sent as it is.",
    )
    quality = _figure(
        "JPEG quality of the working copy",
        PHOTO_QUALITY,
        "Higher shows more and takes longer to send.",
    )
