"""Closing a stop by exception: everything was looked at, less what is struck out."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from findings.selectors.field import leaving
from findings.selectors.field.ground import Ground
from findings.selectors.field.routes import items
from findings.services.field.starting import instant
from firm.errors import BadInput
from inspections.services import pages

MOST_MINUTES = 600


@dataclass(frozen=True, slots=True)
class Closing:
    """What a person says when they leave a stop."""

    stop: UUID
    struck: Collection[str]
    reason: str
    opened: str  # when the stop's page was first shown
    shown: int


def close(*, base: Ground, closing: Closing, now: datetime) -> None:
    """Close the stop, keep what was struck out and how long it took.

    Raises BadInput naming the field, and NotAllowed.
    """
    key, stop = str(closing.stop), base.of("stop", closing.stop)
    began = leaving.moment_opened(stop, closing.opened)
    if stop.get("stop_kind") in items().method_kinds and not stop.get("method"):
        raise BadInput("Say first how this was looked at, or that you did not go.")
    if leaving.asks_reason(stop, began, now) and not closing.reason.strip():
        raise BadInput("Say why so short a look is enough.", field="reason")
    known = {row.duty for row in leaving.close_rows(base, key, set())}
    minutes = leaving.minutes_here(began, now)
    fields: dict[str, Any] = {
        "closed_at": instant(now),
        "closed_struck": sorted(known & set(closing.struck)),
        "closed_minutes": None if minutes is None else min(minutes, MOST_MINUTES),
    }
    if began is not None and not stop.get("opened_at"):
        fields["opened_at"] = instant(began)
    typed = [pages.Typed(key, "stop", fields)]
    if closing.reason.strip():
        note = {"stop": key, "about": key, "text": closing.reason.strip()}
        typed.append(pages.Typed(str(uuid5(closing.stop, "short")), "note", note))
    pages.write(
        actor=base.actor,
        visit=base.visit,
        shown=closing.shown,
        typed=typed,
        now=now,
    )
