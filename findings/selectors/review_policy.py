"""What the firm wants a person to read, and what of its own words may pass."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from findings.models import Finding, SubstanceChange
from findings.selectors import objections
from findings.selectors.review_words import remarks_on
from findings.selectors.shelf import House, house_of
from findings.wording import sentences
from firm.actor import Actor
from inspections.models import Visit
from inspections.selectors.folded import folded

KEY = "review"
GRAVE = ("could_hurt", "harming_building")
LEVEL = ("consequence", "timing", "trade")


@dataclass(frozen=True, slots=True)
class Policy:
    """The firm's choice; as it comes, a person reads every finding."""

    library_passes: bool = False
    levels: tuple[str, ...] = GRAVE
    inspectors: tuple[str, ...] = ()  # of these everything is read
    share: int = 20  # of a hundred findings that could pass, so many are read

    def as_dict(self) -> dict[str, Any]:
        return {
            "library_passes": self.library_passes,
            "levels": list(self.levels),
            "inspectors": list(self.inspectors),
            "share": self.share,
        }


def policy_of(actor: Actor) -> Policy:
    """Return the firm's policy; what was never chosen stands as it comes."""
    own = actor.firm.policy.get(KEY) or {}
    return Policy(
        library_passes=bool(own.get("library_passes", False)),
        levels=tuple(own.get("levels", GRAVE)),
        inspectors=tuple(map(str, own.get("inspectors", ()))),
        share=int(own.get("share", 20)),
    )


def why_read(policy: Policy, row: Finding, stops: Sequence[str], house: House) -> str:
    """Say why a person has to read a finding; empty where it may pass unread."""
    if not policy.library_passes:
        return "a person reads every finding"
    if str(row.visit.inspector_id) in policy.inspectors:
        return f"everything of {row.visit.inspector.name} is read"
    if row.consequence in policy.levels:
        label = sentences.consequence_label(row.consequence)
        return f"“{label}” is always read"
    return _of_its_words(row) or _drawn(policy, row) or _remarked(row, stops, house)


def may_pass(actor: Actor, visit: Visit, rows: Iterable[Finding]) -> frozenset[UUID]:
    """Return which findings in review pass by the policy, unread by a person."""
    policy = policy_of(actor)
    if not policy.library_passes:
        return frozenset()
    records, _ = folded(actor, visit)
    stops = [str(r.get("name") or "") for r in records.values() if r["kind"] == "stop"]
    house = house_of(actor)
    asked = set(
        SubstanceChange.objects.filter(
            firm=actor.firm, finding__visit=visit, answer="WAITING"
        ).values_list("finding_id", flat=True)
    )
    return frozenset(
        row.pk
        for row in rows
        if row.state == Finding.State.IN_REVIEW
        and not why_read(policy, row, stops, house)
        and not objections.to_words(row, change_waits=row.pk in asked)
    )


def _of_its_words(row: Finding) -> str:
    told = row.proposal or {}
    if not row.rule or not row.passage:
        return "it was written by hand"
    if row.words is None or row.words.number != 1:
        return "its words are not the library's own"
    if any(getattr(row, name) != told.get(name) for name in LEVEL):
        return "the inspector set another level"
    return ""


def _drawn(policy: Policy, row: Finding) -> str:
    # By its random id: nobody can foresee it, and looking twice changes nothing.
    return "drawn as a sample" if row.pk.int % 100 < policy.share else ""


def _remarked(row: Finding, stops: Sequence[str], house: House) -> str:
    return "there are remarks at its words" if remarks_on(row, stops, house) else ""
