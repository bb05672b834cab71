"""Forms of the firm's own pages."""

from typing import Any

from django.contrib.auth.forms import AuthenticationForm
from django.core.cache import cache
from django.core.exceptions import ValidationError

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
