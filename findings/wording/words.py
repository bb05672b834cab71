"""A finding's words in their four parts."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

Part: TypeAlias = Literal["seen", "matters", "action", "when"]
PARTS: tuple[Part, ...] = get_args(Part)


@dataclass(frozen=True, slots=True)
class Words:
    """What was seen and where; why it matters; what to do and by whom; how soon."""

    seen: str = ""
    matters: str = ""
    action: str = ""
    when: str = ""

    def part(self, name: Part) -> str:
        """Return one part by its name."""
        texts = {
            "seen": self.seen,
            "matters": self.matters,
            "action": self.action,
            "when": self.when,
        }
        return texts[name]

    def parts(self) -> Iterator[tuple[Part, str]]:
        """Yield the parts in the order they are read."""
        for name in PARTS:
            yield name, self.part(name)

    def text(self) -> str:
        """Return all parts as running text."""
        return " ".join(text for _, text in self.parts() if text)
