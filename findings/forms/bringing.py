"""Forms of a file of passages: the file, and what its columns and words mean."""

from __future__ import annotations

import hashlib
from typing import Any

from django import forms

from findings.selectors.bringing import ImportPage
from findings.selectors.shelf import choices_of
from findings.wording.columns import COLUMNS, Choices
from findings.wording.shaping import KNOWN

MOST_WORDS = 40


class FileForm(forms.Form):
    """A spreadsheet or CSV from the firm."""

    file = forms.FileField(
        label="The file",
        help_text="A spreadsheet (.xlsx) or CSV, a passage in each row, at most 8 MB.",
        error_messages={
            "required": "Choose the file.",
            "empty": "The file is empty. Choose another one.",
        },
    )


class ExplainForm(forms.Form):
    """What each column is, what the file's words mean, what holds where none stand."""

    def __init__(self, *args: Any, page: ImportPage, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.page = page
        for place, name in enumerate(page.header):
            self._pick(f"c{place}", name, COLUMNS, page.choices.columns[place])
            self.fields[f"c{place}"].help_text = page.samples[place]
        for name in KNOWN:
            for word, times in page.explained.get(name, ())[:MOST_WORDS]:
                label = f"“{word}” under {COLUMNS[name]}" + (
                    f", {times} rows" * bool(times)
                )
                chosen = page.choices.words.get(name, {}).get(word, "")
                self._pick(_named(name, word), label, choices_of(name), chosen)
        for name in KNOWN:
            label = f"{COLUMNS[name]}, where a row says nothing"
            chosen = page.choices.otherwise.get(name, "")
            self._pick(f"o_{name}", label, choices_of(name), chosen)

    def _pick(self, key: str, label: str, choices: dict[str, str], now: str) -> None:
        offered = list(choices.items())
        if not key.startswith("c"):
            offered = [("", "nothing"), *offered]
        self.fields[key] = forms.ChoiceField(
            label=label, choices=offered, required=False, initial=now
        )

    def choices(self) -> Choices:
        """Return what was said of the file."""
        given, page = self.cleaned_data, self.page
        words = {
            name: {
                word: given[key]
                for word, _ in page.explained.get(name, ())[:MOST_WORDS]
                if given.get(key := _named(name, word))
            }
            for name in KNOWN
        }
        return Choices(
            tuple(given[f"c{place}"] for place in range(len(page.header))),
            {name: found for name, found in words.items() if found},
            {name: given[f"o_{name}"] for name in KNOWN if given[f"o_{name}"]},
        )


def _named(name: str, word: str) -> str:
    """Name the field of a word; the word may hold anything."""
    return f"w_{name}_{hashlib.sha256(word.encode()).hexdigest()[:12]}"
