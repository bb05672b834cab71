"""The rules as a firm uses them: the book, and what the firm decided about it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache

from django.conf import settings

from findings.models import RuleRuling
from findings.rules import loader
from findings.rules.loader import Ruleset
from findings.rules.own import Kinds
from findings.rules.ruling import Ruling
from findings.rules.rulings import of_firm
from firm.actor import Actor
from firm.models import Licence
from inspections.log import vocabulary


def rules_of(actor: Actor) -> Ruleset:
    """Return the rule set that evaluates the firm's visits; one query."""
    rows = RuleRuling.objects.filter(firm=actor.firm).values_list(
        "rule",
        "number",
        "kind",
        "reason",
        "consequence",
        "timing",
        "trade",
        "definition",
    )
    return of_firm(loader.ruleset(), (Ruling(*row) for row in rows), kinds())


def may_tick(actor: Actor, today: date) -> bool:
    """Say whether the member is the licensed reader: role, and a license today."""
    return actor.can("rules.check") and (
        Licence.objects.filter(
            firm=actor.firm,
            membership_id=actor.member_id,
            valid_from__lte=today,
            expires_on__gte=today,
        ).exists()
    )


def version_now(actor: Actor, rule: str) -> str:
    """Return the version that a reader of the rule's page has before them."""
    rules = rules_of(actor)
    found = rules.rules.get(rule) or rules.off.get(rule)
    return str(found.version) if found else ""


def read_as(version: str) -> str:
    """Return what a tick keeps of the version that was read."""
    return f"read as version {version}"


@cache
def kinds() -> Kinds:
    """Return what a visit may hold: each kind of record with its fields."""
    known = vocabulary.load(settings.FIRM_DATA_DIR / "vocabulary" / "records.yaml")
    return frozenset((kind, frozenset(fields)) for kind, fields in known.kinds.items())


def rulings_by_rule(actor: Actor) -> Mapping[str, Sequence[RuleRuling]]:
    """Return every ruling of the firm with its author, the oldest first."""
    found: dict[str, list[RuleRuling]] = defaultdict(list)
    rows = RuleRuling.objects.filter(firm=actor.firm).select_related("author")
    for row in rows.order_by("rule", "number"):
        found[row.rule].append(row)
    return found
