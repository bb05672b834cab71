"""The forms of the panel map, with what is there already in them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from findings.forms.field import EnclosureForm, PaintForm, SpaceForm
from findings.forms.recorded import RecordForm, form_for
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
    made: SpaceForm = _whole(SpaceForm, "space", {})(data, initial=first)
    return made


class Folded:
    """A form with everything that may be said of its record, the rest folded."""

    MORE: tuple[str, ...] = ()

    def more(self) -> list[Any]:
        """Return the fields that stand folded below the usual ones."""
        return [self[name] for name in self.MORE]  # type: ignore[index]


def _whole(form: type[RecordForm], kind: str, choices: Mapping[str, Any]) -> Any:
    rest = form_for(kind, choices=choices).base_fields
    extra = {name: one for name, one in rest.items() if name not in form.base_fields}
    return type("Whole", (Folded, form), {**extra, "MORE": tuple(extra)})


def enclosure_form(asked: AskedEnclosure, data: Any = None) -> EnclosureForm:
    first = {**asked.record, "shown": asked.shown}
    kind = _whole(EnclosureForm, "enclosure", asked.choices)
    made: EnclosureForm = kind(data, initial=first)
    return made
