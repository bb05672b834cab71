"""A file of passages: read, explained by a person, taken over whole or left."""

from __future__ import annotations

import hashlib
from typing import Any

from django.db import transaction
from django.utils import timezone

from findings.models import PassageImport, PassageVersion
from findings.selectors.bringing import choices_in, reading_of, stands
from findings.selectors.library import held
from findings.services.library import as_content
from findings.wording import columns, sheets
from findings.wording.columns import Choices
from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, Refusal

State = PassageImport.State


class UnableToTake(Refusal):
    """The file was settled already, or rows of it still have to be mended."""

    code = "unable-to-take"


@transaction.atomic
def bring(*, actor: Actor, name: str, data: bytes) -> PassageImport:
    """Read a file and keep its cells; nothing of it is used yet. Raises BadInput."""
    actor.require("passages.approve")
    try:
        sheet = sheets.read(name, data)
    except sheets.UnreadableSheet as error:
        raise BadInput(str(error), field="file") from error
    guess = columns.guessed(sheet.header)
    row = PassageImport.objects.create(
        firm=actor.firm,
        name=name[-200:],
        sha256=hashlib.sha256(data).hexdigest(),
        header=list(sheet.header),
        rows=[[number, list(cells)] for number, cells in sheet.rows],
        choices=_as_json(Choices(guess)),
        brought_by_id=actor.member_id,
    )
    _record(actor, row, "brought", {"name": row.name, "rows": len(row.rows)})
    return row


@transaction.atomic
def explain(*, actor: Actor, brought: PassageImport, choices: Choices) -> None:
    """Keep what a person said of the file's columns and words."""
    actor.require("passages.approve")
    row = _waiting(brought)
    if len(choices.columns) != len(row.header):
        raise BadInput("Say of each column what it is.")
    twice = [c for c in choices.columns if c != columns.NOTE]
    if len(twice) != len(set(twice)):
        raise BadInput("Two columns cannot be the same. Keep one of them as a note.")
    row.choices = _as_json(choices)
    row.save(update_fields=["choices"])


@transaction.atomic
def take(*, actor: Actor, brought: PassageImport) -> tuple[int, int]:
    """Take over every row or none; return how many were written, how many stood so.

    What is taken over waits for approval. Raises UnableToTake.
    """
    actor.require("passages.approve")
    row = _waiting(brought)
    reading = reading_of(row)
    if reading.faults:
        raise UnableToTake(
            f"{len({one.row for one in reading.faults})} rows still have to be "
            "mended. Nothing was taken over."
        )
    known = held(actor)
    written = []
    for _, passage, note in reading.passages:
        newest = known.newest(passage.key)
        number = newest.number + 1 if newest else 1
        if stands(newest, passage, note):
            continue
        written.append(
            PassageVersion(
                firm=actor.firm,
                key=passage.key,
                number=number,
                content=as_content(passage, number),
                note=note,
                origin=PassageVersion.Origin.FILE,
                brought=row,
                reason=f"from {row.name}"[:300],
                author_id=actor.member_id,
            )
        )
    PassageVersion.objects.bulk_create(written)
    _settle(row, State.TAKEN)
    told = {"written": len(written), "rows": len(row.rows)}
    _record(actor, row, "taken", told)
    return len(written), len(reading.passages) - len(written)


@transaction.atomic
def leave(*, actor: Actor, brought: PassageImport) -> None:
    """Set the file aside; what it held stays to be read."""
    actor.require("passages.approve")
    row = _waiting(brought)
    _settle(row, State.LEFT)
    _record(actor, row, "left", {})


def _waiting(brought: PassageImport) -> PassageImport:
    row = PassageImport.objects.select_for_update(of=("self",)).get(pk=brought.pk)
    if row.state != State.WAITING:
        raise UnableToTake(f"This file is settled: {row.get_state_display().lower()}.")
    return row


def _settle(row: PassageImport, state: str) -> None:
    row.state = state
    row.settled_at = timezone.now()
    row.save(update_fields=["state", "settled_at"])


def _as_json(choices: Choices) -> dict[str, Any]:
    kept = {
        "columns": list(choices.columns),
        "words": {name: dict(words) for name, words in choices.words.items()},
        "otherwise": dict(choices.otherwise),
    }
    assert choices_in(kept) == choices  # noqa: S101  # what is kept is read back
    return kept


def _record(
    actor: Actor, row: PassageImport, what: str, detail: dict[str, Any]
) -> None:
    audit.record(
        actor=actor,
        event=f"passages.{what}",
        subject=f"passages:{row.pk}",
        detail=detail,
    )
