"""What a page's form changes, held against what that page showed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from firm.actor import Actor
from inspections.log.fold import KIND, same
from inspections.models import Visit
from inspections.selectors.folded import Standing, as_shown
from inspections.services import log


@dataclass(frozen=True, slots=True)
class Typed:
    """One record as a form hands it back; None stands for an empty field."""

    rec: str
    kind: str
    fields: Mapping[str, Any]


def write(
    *,
    actor: Actor,
    visit: Visit,
    shown: int,
    typed: Sequence[Typed],
    now: datetime | None = None,
) -> list[UUID]:
    """Write what differs from the page as it stood at log version `shown`.

    What another device said meanwhile is never covered: it stands beside as a
    conflict that both can see. Raises NotAllowed and log.UnableToRecord.
    """
    page = as_shown(actor, visit, [one.rec for one in typed], shown)
    changes = [change for one in typed for change in _changes(page, one)]
    if not changes:
        return []
    return log.record(actor=actor, visit=visit, changes=changes, now=now)


def _changes(page: Standing, typed: Typed) -> Iterable[log.Change]:
    before = page.records.get(typed.rec, {})
    if KIND not in before and typed.rec and typed.kind != "visit":
        yield log.Change(typed.rec, KIND, typed.kind, ())
    for field, value in typed.fields.items():
        apart = (typed.rec, field) in page.conflicts
        if apart or not _alike(before.get(field), value):
            yield log.Change(typed.rec, field, value, page.seen(typed.rec, field))


def _alike(before: Any, typed: Any) -> bool:
    # An unticked box and an empty list say nothing new about an empty field.
    if before is None:
        return typed is None or typed is False or typed == []
    return same(before, typed)
