"""How often each rule was used, changed and set aside, and why; never by whom."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from django.db.models import Count, Exists, OuterRef, Q, Subquery
from django.db.models.fields.json import KT

from findings.models import Finding, Revision
from findings.selectors.review_facts import REASONS
from firm.actor import Actor
from inspections.models import Head

LIVE = ~Q(state=Finding.State.WITHDRAWN)
OTHER_LEVEL = (
    ~Q(consequence=KT("proposal__consequence"))
    | ~Q(timing=KT("proposal__timing"))
    | ~Q(trade=KT("proposal__trade"))
)


@dataclass(frozen=True, slots=True)
class Usage:
    """What became of a rule's proposals in all visits of the firm."""

    used: int = 0
    level_changed: int = 0
    words_changed: int = 0
    taken_out: int = 0
    reasons: Mapping[str, int] = field(default_factory=dict)

    @property
    def set_aside(self) -> int:
        return sum(self.reasons.values())

    @property
    def said(self) -> str:
        """The counts in one line; nothing where the rule never spoke."""
        parts = [
            f"used {self.used}" if self.used else "",
            f"level changed {self.level_changed}" if self.level_changed else "",
            f"words changed {self.words_changed}" if self.words_changed else "",
            f"taken out again {self.taken_out}" if self.taken_out else "",
            f"set aside {self.set_aside}" if self.set_aside else "",
        ]
        return ", ".join(part for part in parts if part)


NONE = Usage()


def usage(actor: Actor, rule: str = "") -> Mapping[str, Usage]:
    """Return the counts by rule, of one rule when it is named; two queries."""
    reasons = _reasons(actor, rule)
    used = _used(actor, rule)
    return {
        name: replace(used.get(name, NONE), reasons=reasons.get(name, {}))
        for name in {*used, *reasons}
    }


def _used(actor: Actor, rule: str) -> Mapping[str, Usage]:
    reworded = Revision.objects.filter(finding=OuterRef("pk"), number__gt=1)
    rows = Finding.objects.filter(firm=actor.firm).exclude(rule="")
    if rule:
        rows = rows.filter(rule=rule)
    counted = (
        rows.annotate(reworded=Exists(reworded))
        .values("rule")
        .annotate(
            used=Count("pk", filter=LIVE),
            level=Count("pk", filter=LIVE & OTHER_LEVEL),
            words=Count("pk", filter=LIVE & Q(reworded=True)),
            out=Count("pk", filter=~LIVE),
        )
    )
    return {
        row["rule"]: Usage(row["used"], row["level"], row["words"], row["out"])
        for row in counted
    }


def _reasons(actor: Actor, rule: str) -> Mapping[str, Mapping[str, int]]:
    """Count the decisions "not here" by rule and reason, as they stand now."""
    said = Head.objects.filter(
        firm=actor.firm, visit=OuterRef("visit"), rec=OuterRef("rec")
    ).order_by("-version")
    rows = (
        Head.objects.filter(firm=actor.firm, field="choice", value="not_here")
        .annotate(
            rule=Subquery(said.filter(field="rule").values("value")[:1]),
            reason=Subquery(said.filter(field="reason").values("value")[:1]),
        )
        .values_list("rule", "reason")
        .annotate(times=Count("rec", distinct=True))
    )
    found: dict[str, dict[str, int]] = defaultdict(dict)
    for name, reason, times in rows:
        if name and rule in {"", name}:
            words = REASONS.get(str(reason or ""), "no reason given")
            counts = found[str(name)]
            counts[words] = counts.get(words, 0) + times
    return found
