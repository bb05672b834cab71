"""Words of the library that reviewers keep changing: where it should read otherwise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, F, Q
from django.urls import reverse

from findings.models import Finding, Revision
from findings.selectors.review_pages import PartRow
from findings.selectors.review_words import part_rows, said_in
from findings.wording.passages import library
from firm.actor import Actor

OFTEN = 3  # visits in which the same passage was reworded
LATEST = 400
EXAMPLES = 3


@dataclass(frozen=True, slots=True)
class ExampleRow:
    """One rewording of a passage: what was drafted, and what was sent out."""

    number: str
    url: str
    parts: tuple[PartRow, ...]


@dataclass(frozen=True, slots=True)
class OftenRow:
    """A passage that reviewers reworded in several visits."""

    passage: str
    title: str
    said: str
    examples: tuple[ExampleRow, ...]


def often_changed(actor: Actor) -> tuple[OftenRow, ...]:
    """Return the passages reworded most, three queries whatever their number."""
    rows = _reworded(actor)
    visits: dict[str, set[Any]] = {}
    for row in rows:
        visits.setdefault(row.passage, set()).add(row.visit_id)
    often = [key for key, found in visits.items() if len(found) >= OFTEN]
    shown = [row for row in rows if row.passage in often]
    drafted = {
        one.finding_id: one
        for one in Revision.objects.filter(firm=actor.firm, finding__in=shown, number=1)
    }
    used = _used(actor, often)
    return tuple(
        _row(actor, key, used[key], len(visits[key]), shown, drafted)
        for key in sorted(often, key=lambda key: (-len(visits[key]), key))
    )


def _reworded(actor: Actor) -> list[Finding]:
    """Return the latest findings whose library words a reviewer changed."""
    return list(
        Finding.objects.filter(
            ~Q(passage=""),
            ~Q(words__author_id=F("visit__inspector_id")),
            firm=actor.firm,
            words__number__gt=1,
            state__in=[Finding.State.WORDS_CHECKED, Finding.State.SIGNED],
        )
        .select_related("words", "visit")
        .order_by("-words__made_at")[:LATEST]
    )


def _used(actor: Actor, keys: list[str]) -> Counter[str]:
    rows = (
        Finding.objects.filter(firm=actor.firm, passage__in=keys)
        .values("passage")
        .annotate(n=Count("visit", distinct=True))
    )
    return Counter({row["passage"]: row["n"] for row in rows})


def _row(
    actor: Actor,
    key: str,
    used: int,
    changed: int,
    rows: list[Finding],
    drafted: Mapping[Any, Revision],
) -> OftenRow:
    own = [row for row in rows if row.passage == key and row.pk in drafted]
    known = library().get(key)
    return OftenRow(
        passage=key,
        title=known.title if known else key.replace("_", " "),
        said=f"reworded in {changed} of {used} visits",
        examples=tuple(_example(actor, row, drafted[row.pk]) for row in own[:EXAMPLES]),
    )


def _example(actor: Actor, row: Finding, first: Revision) -> ExampleRow:
    assert row.words is not None  # noqa: S101  # the query asks for its number
    parts = part_rows(said_in(row.words), said_in(first))
    return ExampleRow(
        number=row.visit.number,
        url=reverse("finding-read", args=[actor.firm.slug, row.pk]),
        parts=tuple(part for part in parts if part.changed),
    )
