"""Who gathers inputs for which rules: by the kind of record they look at."""

from collections.abc import Iterable
from functools import lru_cache, partial

from findings.rules import bindings_house, bindings_panels, bindings_receptacles
from findings.rules.bindings import Bindings, View
from findings.rules.kept import HOUSE, Gather, Gatherers
from findings.rules.loader import Ruleset
from findings.rules.rule import Rule
from findings.rules.tree import Tree

# What Python gathers, since it reads several records at once.
OURS: tuple[tuple[str, str, Gather], ...] = (
    ("enclosure", "panel", bindings_panels.panel),
    ("space", "space", bindings_panels.space),
    ("receptacle", "receptacle", bindings_receptacles.receptacle),
    ("wall", "wall", bindings_receptacles.wall),
    ("box", "box", bindings_receptacles.box),
    ("branch_wiring", "wiring", bindings_receptacles.wiring),
    ("observation", "looked", bindings_house.looked),
    ("stop", "tester", bindings_house.tester_limits),
    (HOUSE, "house", lambda view, _tree, _record: bindings_house.house(view)),
)


@lru_cache(maxsize=64)
def gatherers(ruleset: Ruleset) -> Gatherers:
    """Give every gatherer by kind: ours, then what each rule's file says it reads."""
    found: dict[str, list[tuple[str, Gather]]] = {}
    for kind, name, gather in OURS:
        found.setdefault(kind, []).append((name, gather))
    for rule in _binding(ruleset.rules.values()):
        assert rule.binds is not None  # noqa: S101  # for mypy
        told = (rule.id, partial(_of_file, rule))
        found.setdefault(rule.binds.record, []).append(told)
    return {kind: tuple(pairs) for kind, pairs in found.items()}


def _binding(rules: Iterable[Rule]) -> Iterable[Rule]:
    return (rule for rule in rules if rule.binds is not None)


def _of_file(rule: Rule, view: View, _tree: Tree, record: str) -> Bindings:
    if rule.binds is not None:
        yield from rule.binds.one(view, rule.id, rule.system, record)
