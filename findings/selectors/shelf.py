"""The words a firm works with: its passages over the starter's, and its checks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any
from uuid import UUID

import msgspec
from django.db.models import Count, Max

from findings.models import PassageApproval, PassageVersion, WordingChoice
from findings.standards import loader as pack_files
from findings.wording.passages import Passage, Shelf, starter
from findings.wording.sentences import levels
from findings.wording.tuning import Tuning
from firm.actor import Actor


@dataclass(frozen=True, slots=True)
class House:
    """What words are drafted from, and how they are checked."""

    shelf: Shelf
    tuning: Tuning


def house_of(actor: Actor) -> House:
    """Return the firm's passages and checks; two queries."""
    return House(shelf_of(actor), tuning_of(actor))


def shelf_of(actor: Actor) -> Shelf:
    """Return what the firm drafts from: one query, two after an approval."""
    approved = PassageApproval.objects.filter(firm=actor.firm, number__gt=0)
    stamp = approved.aggregate(times=Count("pk"), last=Max("approved_at"))
    if not stamp["times"]:
        return starter()
    return _shelf(actor.firm.pk, stamp["times"], stamp["last"])


def tuning_of(actor: Actor) -> Tuning:
    """Return how the firm has its words checked; one query."""
    row = WordingChoice.objects.filter(firm=actor.firm).order_by("-number").first()
    if row is None:
        return Tuning()
    return Tuning(
        off=frozenset(row.off),
        grade=float(row.grade),
        longest_sentence=row.longest_sentence,
        own_words=frozenset(row.own_words),
        metric=row.metric,
    )


def in_force(
    versions: Iterable[PassageVersion], approved: set[tuple[str, int]]
) -> dict[str, PassageVersion]:
    """Return the newest approved version of each key."""
    found: dict[str, PassageVersion] = {}
    for row in versions:
        newest = found.get(row.key)
        if (row.key, row.number) in approved and (
            newest is None or newest.number < row.number
        ):
            found[row.key] = row
    return found


def read_passage(content: Any) -> Passage:
    """Return a passage as a version holds it. Raises msgspec.ValidationError."""
    return msgspec.convert(content, Passage)


@lru_cache(maxsize=1)
def systems() -> dict[str, str]:
    """Return every system that a passage may be about, by key, with its name."""
    named = {
        key: words[:1].upper() + words[1:]
        for key, words in pack_files.words_for_systems().items()
    }
    return {**named, "general": "The house as a whole"}


def choices_of(field: str) -> dict[str, str]:
    """Return what a field of a passage may hold, by key, with its words."""
    known = levels()
    found: dict[str, dict[str, str]] = {
        "system": systems(),
        "trade": {key: one.label for key, one in known.trades.items()},
        "consequence": {key: one.label for key, one in known.consequences.items()},
        "timing": {key: one.label for key, one in known.timings.items()},
    }
    return found[field]


# Approvals are only ever added, so their number and the last moment name what counts.
@lru_cache(maxsize=32)
def _shelf(firm: UUID, _times: int, _last: datetime) -> Shelf:
    marks = PassageApproval.objects.filter(firm=firm, number__gt=0)
    approved = set(marks.values_list("key", "number"))
    rows = PassageVersion.objects.filter(firm=firm)
    passages = dict(starter().passages)
    versions = dict(starter().versions)
    for key, row in in_force(rows, approved).items():
        passages.pop(key, None)
        versions.pop(key, None)
        if row.kind == PassageVersion.Kind.WRITTEN:
            passages[key] = read_passage(row.content)
            versions[key] = str(row.number)
    return Shelf(passages, versions)
