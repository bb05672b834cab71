"""A view and a tree that note what was read: a part then knows what it rests on.

A token is a record's id, "kind:stair" for the list of a kind, "died:" with an id for
what takes a receptacle with it, or "tree:" with an enclosure for its place there.
"""

from collections.abc import Iterator, Mapping
from typing import Any, TypeVar

from findings.rules.bindings import View
from findings.rules.tree import Tree

V = TypeVar("V")
KIND, DIED, TREE = "kind:", "died:", "tree:"
WHOLE_TREE = "tree:*"


class NotedView(View):
    """The same answers as another view; `reads` grows with every question."""

    def __init__(self, base: View) -> None:
        self.base, self.reads = base, set[str]()
        self.house = base.house
        self.folded = _Noted(base.folded, self.reads, "")
        self.conflicts = _NotedPairs(base.conflicts, self.reads)

    def get(self, record: str | None, name: str) -> Any:
        """Give a field's value; the record is noted."""
        if not record:
            return None
        self.reads.add(record)
        return self.base.get(record, name)

    def all(self, kind: str) -> list[str]:
        """Give the records of a kind; the list is noted, not what is in them."""
        self.reads.add(KIND + kind)
        return self.base.all(kind)

    def how(self, record: str, name: str) -> str:
        """How a field is known."""
        self.reads.add(record)
        return self.base.how(record, name)

    def place(self, record: str) -> str:
        """Where a record is: its own words and those of its stop."""
        self.reads.add(record)
        stop = self.base.folded.get(record, {}).get("stop")
        if stop:
            self.reads.add(stop)
        return self.base.place(record)

    def died_with(self, record: str) -> tuple[str, ...]:
        """Which receptacles took this one with them."""
        self.reads.add(DIED + record)
        return self.base.died_with(record)


class NotedTree(Tree):
    """The same tree, asked through a noted view."""

    def __init__(self, base: Tree, view: NotedView) -> None:
        noted: Any = _Noted(base.parent, view.reads, TREE)
        spaces: Any = _Noted(base.spaces, view.reads, TREE)
        super().__init__(view, noted, spaces, base.contradictions)
        self.reads = view.reads

    def at_odds(self, enclosure: str) -> bool:
        """Whether it contradicts another; its place in the tree is noted."""
        self.reads.add(TREE + enclosure)
        return super().at_odds(enclosure)


class _Noted(Mapping[str, V]):
    """A mapping that notes each key that was asked for, or that all were."""

    def __init__(self, base: Mapping[str, V], reads: set[str], prefix: str) -> None:
        self.base, self.reads, self.prefix = base, reads, prefix

    def __getitem__(self, key: str) -> V:
        self.reads.add(self.prefix + key)
        return self.base[key]

    def __contains__(self, key: object) -> bool:
        self.reads.add(f"{self.prefix}{key}")
        return key in self.base

    def __iter__(self) -> Iterator[str]:
        self.reads.add(WHOLE_TREE)
        return iter(self.base)

    def __len__(self) -> int:
        self.reads.add(WHOLE_TREE)
        return len(self.base)


class _NotedPairs(Mapping[tuple[str, str], list[Any]]):
    """The fields with two values; asking after one notes its record."""

    def __init__(
        self, base: Mapping[tuple[str, str], list[Any]], reads: set[str]
    ) -> None:
        self.base, self.reads = base, reads

    def __getitem__(self, pair: tuple[str, str]) -> list[Any]:
        self.reads.add(str(pair[0]))
        return self.base[pair]

    def __contains__(self, pair: object) -> bool:
        if isinstance(pair, tuple):
            self.reads.add(str(pair[0]))
        return pair in self.base

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return iter(self.base)

    def __len__(self) -> int:
        return len(self.base)
