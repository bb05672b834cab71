"""What the rules made of a visit, kept part by part until something it read changes.

A part is one gatherer over one record. After one more entry only the parts that read
what it touches are worked out anew; everything else stands. The same from scratch.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from threading import Lock
from typing import Any

from findings.rules.bindings import Bindings, Conflicts, Folded, View
from findings.rules.noted import DIED, KIND, TREE, WHOLE_TREE, NotedTree, NotedView
from findings.rules.proposal import Proposal
from findings.rules.tree import Tree

Gather = Callable[[View, Tree, str], Bindings]
# By kind of record; under "" what looks at the house as a whole.
Gatherers = Mapping[str, tuple[tuple[str, Gather], ...]]
Key = tuple[str, str]
HOUSE = ""


@dataclass(frozen=True, slots=True)
class Part:
    """What one part offers, what it only tells of a record, and what it read."""

    proposals: tuple[Proposal, ...]
    beside: tuple[tuple[str, str], ...]
    reads: frozenset[str]


Work = Callable[[NotedView, Bindings], Part]


class Kept:
    """The parts of one visit. One thread at a time."""

    def __init__(self) -> None:
        self.lock = Lock()
        self.worked = 0  # parts worked out the last time, for the bench
        self._forget(None)

    def _forget(self, context: Any) -> None:
        self.context = context
        self.folded: Folded = {}
        self.conflicts: Conflicts = {}
        self.tree: dict[str, Any] = {}
        self.parts: dict[Key, Part] = {}
        self.index: dict[str, set[Key]] = defaultdict(set)

    def run(
        self,
        context: Any,
        view: View,
        tree: Tree,
        gatherers: Gatherers,
        work: Work,
    ) -> list[Part]:
        """Give every part, those that changed worked out anew.

        `context` is all that parts rest on beside the records: rules, dates, duties.
        """
        if context != self.context:
            self._forget(context)
        changed = _changed(self.folded, view.folded) | _disputed(self, view)
        stale = self._stale(changed, view, tree, gatherers)
        for key in stale:
            self._work_out(key, view, tree, gatherers, work)
        self.worked = len(stale)
        self.folded, self.conflicts = dict(view.folded), dict(view.conflicts)
        self.tree = _outline(tree)
        return list(self.parts.values())

    def _stale(
        self, changed: set[str], view: View, tree: Tree, gatherers: Gatherers
    ) -> list[Key]:
        """Give the keys to work out, once each, and drop what has no record now."""
        tokens = set(changed)
        keys = dict.fromkeys(self._of_the_house(gatherers))
        for record in sorted(changed):
            before, now = self.folded.get(record), view.folded.get(record)
            tokens |= _tokens(before, now)
            if before is not None and (now is None or _kind(before) != _kind(now)):
                self._drop(record, gatherers, _kind(before))
            if now is not None:
                named = gatherers.get(_kind(now), ())
                keys |= dict.fromkeys((name, record) for name, _ in named)
        tokens |= _moved(self.tree, _outline(tree))
        for token in tokens:
            keys |= dict.fromkeys(self.index.get(token, ()))
        return list(keys)

    def _of_the_house(self, gatherers: Gatherers) -> Iterator[Key]:
        for name, _ in gatherers.get(HOUSE, ()):
            if (name, HOUSE) not in self.parts:
                yield name, HOUSE

    def _drop(self, record: str, gatherers: Gatherers, kind: str) -> None:
        for name, _ in gatherers.get(kind, ()):
            self._take_out((name, record))

    def _take_out(self, key: Key) -> None:
        part = self.parts.pop(key, None)
        for token in part.reads if part else ():
            self.index[token].discard(key)

    def _work_out(
        self, key: Key, view: View, tree: Tree, gatherers: Gatherers, work: Work
    ) -> None:
        self._take_out(key)
        name, record = key
        kind = _kind(view.folded[record]) if record else HOUSE
        gather = dict(gatherers.get(kind, ())).get(name)
        if gather is None:
            return
        noted = NotedView(view)
        part = work(noted, gather(noted, NotedTree(tree, noted), record))
        self.parts[key] = part
        for token in part.reads:
            self.index[token].add(key)


def _kind(record: Mapping[str, Any]) -> str:
    return str(record.get("kind", ""))


def _changed(before: Folded, now: Folded) -> set[str]:
    gone = {record for record in before if record not in now}
    return gone | {r for r, row in now.items() if before.get(r) != row}


def _disputed(kept: Kept, view: View) -> set[str]:
    """Give the records of which a field came into dispute or out of it."""
    pairs = set(kept.conflicts) ^ set(view.conflicts)
    return {record for record, _ in pairs}


def _tokens(
    before: Mapping[str, Any] | None, now: Mapping[str, Any] | None
) -> set[str]:
    old, new = before or {}, now or {}
    found = set[str]()
    if before is None or now is None or _kind(old) != _kind(new):
        found |= {KIND + _kind(one) for one in (before, now) if one is not None}
    dead = {str(one) for row in (old, new) for one in row.get("died_with") or ()}
    return found | {DIED + one for one in dead}


def _outline(tree: Tree) -> dict[str, Any]:
    """Give of each enclosure what it hangs on, what is in it, and if it is at odds."""
    at_odds = {one for pair in tree.contradictions for one in pair[:2]}
    return {
        one: (tree.parent.get(one), tuple(tree.spaces.get(one, ())), one in at_odds)
        for one in {*tree.parent, *tree.spaces, *at_odds}
    }


def _moved(before: Mapping[str, Any], now: Mapping[str, Any]) -> set[str]:
    moved = {one for one in {*before, *now} if before.get(one) != now.get(one)}
    return {TREE + one for one in moved} | ({WHOLE_TREE} if moved else set())
