"""Forms of the library: a passage, its variants, reasons; how words are checked."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from django import forms

from findings.forms.rules import because
from findings.selectors.shelf import choices_of
from findings.services.library import Written
from findings.wording.passages import Passage, Variant
from findings.wording.sentences import levels
from findings.wording.tuning import Tuning, abouts
from findings.wording.words import PARTS
from inspections.forms.fields import decimal, line, number, text

PAIR = re.compile(r"([a-z][A-Za-z0-9_]*)\s*:\s*(\S.*)")
FREE = {"autocapitalize": "off", "spellcheck": "false"}
MOST_VARIANTS = 6


class PairsField(forms.CharField):
    """Lines of "name: value"; a line that is none says so."""

    def clean(self, value: Any) -> dict[str, str]:
        """Return the pairs. Raises ValidationError naming the line."""
        found = {}
        for place, typed in enumerate(str(super().clean(value)).splitlines(), 1):
            if not typed.strip():
                continue
            match = PAIR.fullmatch(typed.strip())
            if match is None:
                said = f"Line {place}: write the blank's name, a colon and the value."
                raise forms.ValidationError(said)
            found[match[1]] = match[2].strip()
        return found


def pairs_of_lines(label: str, told: str) -> PairsField:
    widget = forms.Textarea(attrs={"rows": 3, **FREE})
    return PairsField(
        label=label, required=False, max_length=3000, widget=widget, help_text=told
    )


class PassageForm(forms.Form):
    """A passage of the firm's, in its four parts."""

    title = line("Title, as people of the firm look for it", 200, required=True)
    system = forms.ChoiceField(label="System")
    consequence = forms.ChoiceField(label="What it does")
    timing = forms.ChoiceField(label="How soon")
    trade = forms.ChoiceField(label="Who puts it right")
    seen = text("What was seen, and where", 3000, rows=3, required=True)
    matters = text("Why it matters", 3000, rows=3)
    action = text("What to do, and which trade does it", 3000, rows=3)
    when = text(
        "How soon, in words", 800, rows=2, help_text="Empty: it follows the timing."
    )
    also = line("Other words it is found by, with commas", 500)
    item = line("Item it is about, if one", 60, widget=forms.TextInput(attrs=FREE))
    binds = pairs_of_lines(
        "Where blanks are filled from",
        "A line each, as height: measure.height_in. Else a person fills them.",
    )
    example = pairs_of_lines(
        "What the preview fills them with", "A line each, as height: 34"
    )
    reason = because("What changed, and why")
    shown = forms.IntegerField(min_value=0, widget=forms.HiddenInput, initial=0)

    def __init__(self, *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        for name in ("system", "consequence", "timing", "trade"):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)  # noqa: S101  # for mypy
            field.choices = list(choices_of(name).items())

    def at(self, shown: int) -> PassageForm:
        """Keep what was typed, to be saved once more on top of a newer version."""
        typed = {name: self.data.get(name) for name in self.data}
        self.data = typed | {"shown": str(shown)}
        return self

    def passage(self, key: str, variants: Sequence[Variant]) -> Passage:
        """Return the passage as it was typed; its version is given when it is kept."""
        given = self.cleaned_data
        also = (one.strip() for one in given["also"].split(","))
        plain = ("title", "system", "item", "trade", "consequence", "timing")
        return Passage(
            key=key,
            version=given["shown"] + 1,
            also=tuple(one for one in also if one),
            variants=tuple(variants),
            binds=given["binds"],
            example=given["example"],
            **{name: given[name].strip() for name in (*plain, *PARTS)},
        )

    def written(self, key: str, variants: Sequence[Variant]) -> Written:
        given = self.cleaned_data
        return Written(self.passage(key, variants), given["reason"], given["shown"])


class NewPassageForm(PassageForm):
    """A new passage, with its name."""

    name = line(
        "Its name, in small letters",
        60,
        required=True,
        help_text="Such as loose_rail. It never changes.",
        widget=forms.TextInput(attrs=FREE),
    )
    field_order = ["title", "name"]


class VariantForm(forms.Form):
    """Other words for some purposes, or where another consequence is said."""

    purposes = forms.MultipleChoiceField(
        label="Only on visits", required=False, widget=forms.CheckboxSelectMultiple
    )
    consequence = forms.ChoiceField(label="Only where it says", required=False)
    seen = text("What was seen, and where", 3000, rows=2)
    matters = text("Why it matters", 3000, rows=2)
    action = text("What to do, and which trade does it", 3000, rows=2)
    when = text("How soon, in words", 800, rows=2)

    def __init__(self, *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        purposes, said = self.fields["purposes"], self.fields["consequence"]
        assert isinstance(purposes, forms.ChoiceField)  # noqa: S101  # for mypy
        assert isinstance(said, forms.ChoiceField)  # noqa: S101  # for mypy
        purposes.choices = list(levels().purposes.items())
        said.choices = [("", "any"), *choices_of("consequence").items()]

    def variant(self) -> Variant | None:
        """Return the variant, None where nothing was written."""
        given = self.cleaned_data
        parts = {name: given[name].strip() for name in PARTS}
        if not any(parts.values()):
            return None
        said = given["consequence"]
        context = {"consequence": said} if said else {}
        return Variant(purposes=tuple(given["purposes"]), context=context, **parts)

    def clean(self) -> dict[str, Any]:
        """Ask when the other words hold, where there are any."""
        given: dict[str, Any] = super().clean() or self.cleaned_data
        held = any(str(given.get(name) or "").strip() for name in PARTS)
        if held and not given.get("purposes") and not given.get("consequence"):
            raise forms.ValidationError("Say when these words hold.")
        return given


def variant_forms(
    data: Mapping[str, Any] | None, initial: Sequence[Mapping[str, Any]] = ()
) -> list[VariantForm]:
    """Return the forms of all variants and of one more."""
    many = min(len(initial) + 1, MOST_VARIANTS)
    if data is not None:
        many = MOST_VARIANTS
    return [
        VariantForm(
            data,
            prefix=f"v{place}",
            initial=dict(initial[place]) if place < len(initial) else None,
        )
        for place in range(many)
        if data is None or f"v{place}-seen" in data
    ]


class ReasonForm(forms.Form):
    """A reason, and the version that was on the screen."""

    reason = because()
    shown = forms.IntegerField(min_value=0, widget=forms.HiddenInput)


class ApproveForm(forms.Form):
    """The version that is approved; 0 is the starter's."""

    number = forms.IntegerField(min_value=0, widget=forms.HiddenInput)


class TuningForm(forms.Form):
    """How the firm has its words checked."""

    on = forms.MultipleChoiceField(
        label="Checks that run", required=False, widget=forms.CheckboxSelectMultiple
    )
    grade = decimal(
        "Highest reading grade that is not pointed out", 4, 18, required=True
    )
    longest_sentence = number("Longest sentence, in words", 10, 80, required=True)
    own_words = text(
        "Words that the firm spells its own way", 6000, help_text="A line each."
    )
    metric = forms.BooleanField(
        label="Metric units may stand in the words", required=False
    )
    shown = forms.IntegerField(min_value=0, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        field = self.fields["on"]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101  # for mypy
        field.choices = [(o.kind, o.title) for o in abouts() if not o.always]

    def tuning(self) -> Tuning:
        given = self.cleaned_data
        switched = {one.kind for one in abouts() if not one.always}
        words = re.findall(r"[^\s,;]{1,40}", given["own_words"])
        return Tuning(
            off=frozenset(switched - set(given["on"])),
            grade=float(given["grade"]),
            longest_sentence=given["longest_sentence"],
            own_words=frozenset(words),
            metric=given["metric"],
        )
