"""A walked visit in review, and what people send from its pages."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from findings.models import Finding
from tests.support.cast import Cast, Person
from tests.support.walked import FULL, Walk, walk

CLOSET = "The door of the bedroom closet rubs on its frame at the top."


def handed_in(cast: Cast, **extra: Any) -> Walk:
    """A visit with one finding from a rule and one by hand, handed in."""
    walked = walk(cast, **extra)
    walked.record(
        hand={
            "kind": "hand_finding",
            "stop": "s-bed",
            "line": CLOSET,
            "system": "interiors",
            "consequence": "upkeep",
            "timing": "first_year",
            "trade": "carpenter",
        }
    )
    walked.decide("use")
    walked.hand_in()
    return walked


def by_hand(walked: Walk) -> Finding:
    return next(f for f in walked.findings() if f.source_key.startswith("hand:"))


def by_rule(walked: Walk) -> Finding:
    return next(f for f in walked.findings() if not f.source_key.startswith("hand:"))


def at(name: str, *ids: Any) -> str:
    keys = [getattr(one, "pk", one) for one in ids]
    return reverse(name, args=["northside", *keys])


def words_form(finding: Finding, **typed: str) -> dict[str, str]:
    """Return what the words' form holds, with what was typed."""
    now = Finding.objects.select_related("words").get(pk=finding.pk)
    assert now.words is not None
    return {
        "seen": now.words.seen,
        "matters": now.words.matters,
        "action": now.words.action,
        "when": now.words.when,
        "asked_by": "NOBODY",
        "version": str(now.version),
        **typed,
    }


def rewrite(person: Person, finding: Finding, **typed: str) -> Any:
    form = words_form(finding, **typed)
    return person.client().post(at("finding-words", finding), form)


def whole() -> dict[str, str]:
    """Return words that nothing stands against."""
    return {
        "seen": FULL.seen,
        "matters": FULL.matters,
        "action": FULL.action,
        "when": FULL.when,
    }


def check(person: Person, finding: Finding, version: int | None = None) -> Any:
    now = Finding.objects.get(pk=finding.pk).version if version is None else version
    return person.client().post(at("finding-check", finding), {"version": str(now)})
