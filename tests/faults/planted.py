"""The web server with one mistake planted, so that the harness shows its teeth."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import Any
from uuid import uuid4

from firm.wsgi import application
from inspections.services import log, projection
from inspections.services.entries import cursor_of

__all__ = ["application"]

_take: Any = log._take


def _no_id_check(actor: Any, visit: Any, device: Any, mutation: Any, at: Any) -> Any:
    """Take every repeat as something new, whatever number it has."""
    if log._row_of(actor, mutation.id) is None:
        return _take(actor, visit, device, mutation, at)
    again = replace(mutation, id=uuid4(), seq=cursor_of(visit, device).last_seq + 1)
    return replace(_take(actor, visit, device, again, at), id=mutation.id)


def _last_writer_wins(
    actor: Any, visit: Any, device: Any, mutation: Any, at: Any
) -> Any:
    """Let a write cover what its author never saw."""
    heads = projection.heads_of_record(visit, mutation.rec) if mutation.rec else []
    seen = {head.mutation for head in heads if head.field == mutation.field}
    everything = tuple(sorted(seen | set(mutation.seen), key=str))
    return _take(actor, visit, device, replace(mutation, seen=everything), at)


BUGS = {"no-id-check": _no_id_check, "last-writer-wins": _last_writer_wins}
log._take = BUGS[os.environ["KINGPOST_PLANTED"]]  # type: ignore[assignment]
