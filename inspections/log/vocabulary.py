"""What a log may say: kinds of record, their fields, and the form of each value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import yaml

from inspections.log import forms
from inspections.log.fold import GONE, KIND
from inspections.log.forms import Form

VISIT: Final = "visit"
# The record that stands for the visit, and marks drawn on a photo, stand for
# themselves: nobody asks of them whether they were entered on site.
_WITHOUT_SHARED: Final = frozenset({VISIT, "mark"})


class BadVocabulary(ValueError):
    """The file of kinds and fields cannot be used; the message says where."""


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Every kind with its fields, under the newest schema the server knows."""

    schema: int
    kinds: Mapping[str, Mapping[str, Form]]

    def check(
        self, kind: str | None, field: str, value: Any, schema: int
    ) -> str | None:
        """Say in one sentence what is wrong, naming the field; None when nothing is.

        `kind` is the record's kind as far as it is known: entries of one record may
        arrive in any order, so without one a field of any kind is taken.
        """
        if not 1 <= schema <= self.schema:
            return f"schema: {schema} is not known here"
        if field == KIND:
            return self._check_kind(kind, value)
        if field == GONE:
            return None if isinstance(value, bool) else "_gone: must be yes or no"
        if kind is not None:
            return self._check_field(kind, field, value)
        having = [each for each, fields in self.kinds.items() if field in fields]
        problems = [self._check_field(each, field, value) for each in having]
        if None in problems:
            return None
        return problems[0] if problems else f"{field}: an unknown field"

    def _check_kind(self, kind: str | None, value: Any) -> str | None:
        if not isinstance(value, str) or value not in self.kinds:
            return "kind: an unknown kind of record"
        if kind is not None and kind != value:
            return f"kind: this record is a {kind}; a record's kind never changes"
        return None

    def _check_field(self, kind: str, field: str, value: Any) -> str | None:
        form = self.kinds.get(kind, {}).get(field)
        if form is None:
            return f"{field}: an unknown field of a {kind}"
        # Null takes a value back, whatever its form.
        problem = None if value is None else form.problem(value)
        return f"{field}: {problem}" if problem else None


def load(path: Path) -> Vocabulary:
    """Read and validate the file; raises BadVocabulary."""
    data = yaml.safe_load(path.read_text(encoding="utf-8"))
    if not isinstance(data, dict) or set(data) != {"schema", "shared", "kinds"}:
        raise BadVocabulary("it must hold schema, shared and kinds")
    if not isinstance(data["schema"], int):
        raise BadVocabulary("schema: must be a whole number")
    shared = _fields("shared", data["shared"])
    kinds = {}
    for kind, named in data["kinds"].items():
        more = {} if kind in _WITHOUT_SHARED else shared
        kinds[kind] = {**more, **_fields(kind, named)}
    _check_references(kinds)
    return Vocabulary(schema=data["schema"], kinds=kinds)


def _fields(kind: str, named: Mapping[str, Any]) -> dict[str, Form]:
    fields = {}
    for field, text in named.items():
        if not isinstance(field, str) or field in (KIND, GONE):
            raise BadVocabulary(f"{kind}.{field}: not a name for a field")
        try:
            fields[field] = forms.parse(str(text))
        except (ValueError, ArithmeticError) as error:
            raise BadVocabulary(f"{kind}.{field}: {error}") from error
    return fields


def _check_references(kinds: Mapping[str, Mapping[str, Form]]) -> None:
    for kind, fields in kinds.items():
        for field, form in fields.items():
            if form.name in ("rec", "recs") and form.args[0] not in kinds:
                raise BadVocabulary(f"{kind}.{field}: no kind named {form.args[0]}")
