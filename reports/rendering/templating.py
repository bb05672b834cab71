"""Our own template engine for reports: no settings, no database, no request."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from django.conf import settings
from django.template import Context, Engine

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"


def render(name: str, values: Mapping[str, Any]) -> str:
    """Return the template filled with values; everything is escaped."""
    _configure()
    # Text only reaches a template as a value, so braces in someone's words stay words.
    context = Context(dict(values), autoescape=True, use_l10n=False, use_tz=False)
    return str(_engine().get_template(name).render(context))


@cache
def _engine() -> Engine:
    return Engine(dirs=[str(TEMPLATES)], autoescape=True, string_if_invalid="")


def _configure() -> None:
    # The limited child process has no settings of the project, on purpose: they hold
    # secrets. Django's template engine only asks for a few neutral ones.
    if not settings.configured:
        settings.configure(USE_I18N=False, USE_TZ=True, USE_THOUSAND_SEPARATOR=False)
