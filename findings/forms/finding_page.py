"""The forms of a finding's page as they stand before anybody has typed."""

from __future__ import annotations

from typing import Any

from findings.forms.review import (
    CheckForm,
    NoteForm,
    ReturnForm,
    SubstanceForm,
    WordsForm,
)
from findings.selectors.review_pages import FindingPage


def context_of(page: FindingPage, about: str, **typed: Any) -> dict[str, Any]:
    """Return the page with its forms; those that were sent stand as they were."""
    words = {part.key: part.now for part in page.parts}
    return {
        "page": page,
        "form": WordsForm(
            initial={**words, "asked_by": "NOBODY", "version": page.version}
        ),
        "change_form": SubstanceForm(
            levels=page.levels,
            initial={"change_asked_by": "NOBODY"},
        ),
        "note_form": NoteForm(initial={"about": about}),
        "return_form": ReturnForm(),
        "check_form": CheckForm(initial={"version": page.version}),
        **typed,
    }
