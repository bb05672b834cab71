"""The forms of the panel map, with what is there already in them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from findings.forms.field import EnclosureForm, PaintForm, SpaceForm
from findings.forms.recorded import form_for
from findings.selectors.field.enclosure import AskedEnclosure
from findings.selectors.field.panel import BRUSHES
from findings.selectors.field.rows import PanelPage


def paint_form(page: PanelPage, data: Any = None) -> PaintForm:
    numbers = [row.number for column in page.columns for row in column]
    first = {"shown": page.shown, "how": "compared"}
    return PaintForm(data, brushes=list(BRUSHES), spaces=numbers, initial=first)


def space_form(
    record: Mapping[str, Any], shown: int, rec: str, data: Any = None
) -> SpaceForm:
    """Return the form of one space; a new one begins as a breaker with one pole."""
    usual = {"space_kind": "breaker", "poles": "1"} if not record else {}
    first = {**usual, **record, "shown": shown, "record_id": rec}
    return SpaceForm(data, initial=first)


class WholeEnclosureForm(EnclosureForm):
    """The enclosure with everything that may be said of it."""

    MORE: tuple[str, ...] = ()

    def more(self) -> list[Any]:
        """Return the fields that stand folded below the usual ones."""
        return [self[name] for name in self.MORE]


def enclosure_form(asked: AskedEnclosure, data: Any = None) -> WholeEnclosureForm:
    rest = form_for("enclosure", choices=asked.choices).base_fields
    extra = {
        name: field
        for name, field in rest.items()
        if name not in EnclosureForm.base_fields
    }
    kind = type("Whole", (WholeEnclosureForm,), {**extra, "MORE": tuple(extra)})
    first = {**asked.record, "shown": asked.shown}
    made: WholeEnclosureForm = kind(data, initial=first)
    return made
