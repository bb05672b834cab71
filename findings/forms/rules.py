"""Forms of the rules book: they check what was typed, and save nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final, Self

from django import forms

from findings.selectors.rule_pages import RulePage
from inspections.forms.fields import line, picked

MOST: Final = 8000
EXAMPLE: Final = """\
system: electrical
topic: large_breaker
title: A large breaker to ask about
inputs:
  amps: {kind: number, unit: A, low: 1, label: breaker}
binds:
  record: space
  where: {space_kind: [breaker]}
  inputs: {amps: amps}
rows:
  - when: amps >= 60
    outcome: defect_now
    consequence: upkeep
    timing: first_year
    trade: electrician
    reason: "{amps} A on one circuit"
  - when: amps < 60
    outcome: ok
    reason: "{amps} A is usual"
source: the firm's own practice
provenance: {status: found, where: agreed in the firm}
"""


def because(label: str = "Because") -> forms.CharField:
    """Return the field for a compulsory reason."""
    return line(
        label,
        300,
        required=True,
        error_messages={"required": "Say why, in a few words."},
    )


class Deciding(forms.Form):
    """A reason, and the ruling that was on the screen when it was typed."""

    reason = because()
    shown = forms.IntegerField(min_value=0, widget=forms.HiddenInput)

    def at(self, page: RulePage) -> Self:
        """Keep what was typed, to be sent once more against what is shown now."""
        typed = {name: self.data.get(name) for name in self.data}
        self.data = typed | {"shown": str(page.shown)}
        return self


class SwitchForm(Deciding):
    """Switch a rule off, or take it again as it is written."""

    to = forms.ChoiceField(
        choices=[("off", "off"), ("on", "on")], widget=forms.HiddenInput
    )


class LevelForm(Deciding):
    """The firm's level where a rule says that something is wrong."""

    consequence = picked("What it does", [])
    timing = picked("How soon", [])
    trade = picked("Who puts it right", [])
    field_order = ["consequence", "timing", "trade", "reason", "shown"]

    def __init__(
        self, *args: Any, levels: Mapping[str, Iterable[Any]] | None = None, **kw: Any
    ) -> None:
        super().__init__(*args, **kw)
        for name, choices in (levels or {}).items():
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)  # noqa: S101  # for mypy
            field.choices = [("", "as the rule says"), *choices]

    def level(self) -> dict[str, str]:
        """Return the parts of the level, empty where the rule's own stays."""
        return {
            name: self.cleaned_data[name] for name in ("consequence", "timing", "trade")
        }


class WriteForm(Deciding):
    """A rule of the firm's own, as text."""

    definition = line(
        "The rule",
        MOST,
        required=True,
        strip=False,
        widget=forms.Textarea(
            attrs={"rows": 24, "spellcheck": "false", "autocapitalize": "off"}
        ),
    )
    field_order = ["definition", "reason", "shown"]


class NewRuleForm(WriteForm):
    """A new rule of the firm's own, with its name."""

    name = line(
        "Its name, in small letters",
        40,
        required=True,
        help_text="Such as large_breaker. It never changes.",
        widget=forms.TextInput(attrs={"autocapitalize": "off", "spellcheck": "false"}),
    )
    field_order = ["name", "definition", "reason", "shown"]


class TickForm(forms.Form):
    """The licensed reader has read the rule; `version` is what was on the screen."""

    version = forms.CharField(max_length=20, widget=forms.HiddenInput)
    was_read = forms.BooleanField(
        label="I have read this rule against its source, and it agrees with it.",
        error_messages={"required": "Tick this once you have read it."},
    )

    def at(self, page: RulePage) -> Self:
        """Show why it was refused; what stands there now is read anew."""
        self.data = {"version": page.version}
        return self
