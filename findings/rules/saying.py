"""A rule in plain sentences: its conditions, rows and outcomes as people read them."""

import re
from collections.abc import Callable, Mapping
from typing import Any, Final

from findings.rules.rule import Row, Rule

OUTCOME_WORDS: Final[Mapping[str, str]] = {
    "ok": "nothing to say",
    "defect_now": "wrong, whatever the date",
    "defect_at_construction": "wrong by the rules of its day",
    "met_then_safer_now": "met the rules of its day; newer habit differs",
    "depends_on_adoption": "cannot tell what its day asked for",
    "needs_specialist": "somebody of the trade should look",
    "needs_specialist_urgent": "somebody of the trade should look at once",
    "undetermined": "cannot tell from what is recorded",
    "maintenance": "a small thing to put right",
    "monitor": "something to watch",
    "informational": "told, and no more",
    "mitigate": "to be brought down",
    "consider": "worth thinking about",
    "retest": "to be measured again",
    "needs_openings": "openings are missing",
}
BINARY: Final = {
    "eq": "is", "ne": "is not", "lt": "is under", "le": "is at most",
    "gt": "is over", "ge": "is at least", "in": "is one of", "starts": "begins with",
    "contains": "holds", "add": "plus", "sub": "less", "mul": "times",
}  # fmt: skip
TURNED: Final = {
    "eq": "is not", "in": "is none of", "contains": "does not hold",
    "starts": "does not begin with",
}  # fmt: skip
JOINED: Final = {"and": ", and ", "or": ", or "}
BUILT_IN: Final = {
    "governing_year": "the year that governs",
    "edition_in_force": "the edition in force",
}
# Values whose keys are spelled or shortened otherwise than people read them.
SPELLED: Final = {
    "cu": "copper", "al": "aluminum", "cca": "copper-clad", "aluminium": "aluminum",
    "copper_clad_aluminium": "copper-clad aluminum", "armour": "armor",
    "copper_clad_al": "copper-clad aluminum",
}  # fmt: skip
# Units that end the name of a value which a rule works out.
UNITS: Final = {
    "A": "A", "V": "V", "W": "W", "in": "in", "ft": "ft", "F": "°F", "cfm": "cfm",
    "in2": "square inches", "ft2": "square feet", "ft3": "cubic feet", "pct": "percent",
}  # fmt: skip
BLANK: Final = re.compile(r"\{([a-zA-Z_][a-zA-Z0-9_]*)\}")


class Words:
    """Says one rule's expressions, with the labels of its inputs for their names."""

    def __init__(self, rule: Rule) -> None:
        self.labels = {name: spec.label for name, spec in rule.inputs.items()}

    def name(self, name: str) -> str:
        """Give an input's label, or a worked-out name in plain letters."""
        given = self.labels.get(name) or BUILT_IN.get(name)
        return given or parted(name)[0].replace("_", " ")

    def of(self, tree: Any) -> str:
        """Say an expression."""
        if not isinstance(tree, list):
            return self.plain(tree)
        if sure := _sure(tree):
            return self.of(sure[0])
        name, *args = tree
        if name in JOINED:
            return JOINED[name].join(self._part(name, arg) for arg in args)
        if name in BINARY:
            return f" {BINARY[name]} ".join(self.side(arg) for arg in args)
        work = _SAID.get(name)
        return work(self, args) if work else f"{name} of {self.listed(args)}"

    def filled(self, template: str) -> str:
        """Give a reason with the names of its blanks in brackets."""
        return BLANK.sub(lambda found: f"[{self.name(found[1])}]", template)

    def plain(self, value: Any) -> str:
        """Say a value that stands for itself."""
        if value is None:
            return "not known"
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, str) and value:
            return SPELLED.get(value, value.replace("_", " "))
        return str(value) if value != "" else "nothing"

    def field(self, path: str) -> str:
        """Say a name, and a part of what it names."""
        head, *rest = path.split(".")
        first = "it" if head == "it" else self.name(head)
        return "’s ".join([first, *(part.replace("_", " ") for part in rest)])

    def _part(self, outer: str, tree: Any) -> str:
        """Say a part of and, or; a mixed one stands in brackets."""
        said = self.of(tree)
        inner = _sure(tree)[0] if _sure(tree) else tree
        mixed = isinstance(inner, list) and inner[0] in {"and", "or", "choose"}
        return f"({said})" if mixed and inner[0] != outer else said

    def side(self, tree: Any) -> str:
        """Say one side of a comparison, in brackets where it is one itself."""
        said = self.of(tree)
        deep = isinstance(tree, list) and tree[0] not in {"f", "lit", "look", "max"}
        return f"({said})" if deep and " " in said else said

    def listed(self, args: list[Any]) -> str:
        """Say several, one after the other."""
        return ", ".join(self.of(arg) for arg in args)

    def not_(self, args: list[Any]) -> str:
        """Say the contrary of an expression."""
        inner = args[0]
        if sure := _sure(inner):
            return f"{self.not_(sure)}, as far as is known"
        if isinstance(inner, list):
            name, *parts = inner
            if name == "known":
                return f"{self.of(parts[0])} is not known"
            if name in TURNED:
                return f" {TURNED[name]} ".join(self.side(one) for one in parts)
            if name == "f":
                return f"not “{self.of(inner)}”"
        return f"not ({self.of(inner)})"

    def choose(self, args: list[Any]) -> str:
        """Say which value stands under which condition."""
        pairs = zip(args[:-1:2], args[1::2], strict=True)
        said = [f"{self.side(value)} if {self.of(test)}" for test, value in pairs]
        last = args[-1]
        ends = "not known" if last is None else self.of(last)
        return f"{'; '.join(said)}; otherwise {ends}"

    def look(self, args: list[Any]) -> str:
        """Say which cell of which table is read."""
        table, column, *keys = args
        named = str(table).replace("_", " ") if isinstance(table, str) else "named"
        cell = self.of(column)
        return f"{cell} in the table “{named}” for {self.listed(keys)}"


def _sure(tree: Any) -> list[Any]:
    """Give what `sure(x)` is about, or nothing: it adds only that x is known."""
    found = (
        isinstance(tree, list)
        and tree[0] == "choose"
        and tree[1] == ["known", tree[2]]
        and tree[3] is False
    )
    return [tree[2]] if found else []


_SAID: dict[str, Callable[[Words, list[Any]], str]] = {
    "f": lambda words, args: words.field(args[0]),
    "lit": lambda words, args: ", ".join(map(words.plain, args[0])),
    "not": lambda words, args: words.not_(args),
    "known": lambda words, args: f"{words.of(args[0])} is known",
    "given": lambda words, args: f"those known of {words.listed(args)}",
    "choose": lambda words, args: words.choose(args),
    "look": lambda words, args: words.look(args),
    "any": lambda words, args: f"one of {words.of(args[0])} where {words.of(args[1])}",
    "all": lambda words, args: f"each of {words.of(args[0])} where {words.of(args[1])}",
    "count": lambda words, args: (
        f"how many of {words.of(args[0])} where {words.of(args[1])}"
    ),
    "max": lambda words, args: f"the largest of {words.listed(args)}",
    "min": lambda words, args: f"the smallest of {words.listed(args)}",
    "len": lambda words, args: f"how many {words.listed(args)}",
    "div": lambda words, args: f"{words.side(args[0])} divided by {words.of(args[1])}",
    "between": lambda words, args: (
        f"{words.of(args[0])} is from {words.of(args[1])} to {words.of(args[2])}"
    ),
    "total": lambda words, args: f"the sum over {words.listed(args)}",
}


def parted(name: str) -> tuple[str, str]:
    """Give a worked-out name without its unit, and the unit."""
    head, _, last = name.rpartition("_")
    return (head, UNITS[last]) if head and last in UNITS else (name, "")


def row_says(words: Words, row: Row) -> str:
    """Say when a row speaks and what it then says: one sentence."""
    when = words.of(row.when.tree)
    condition = "Otherwise" if row.when.tree is True else f"If {when}"
    return f"{condition}: {outcome_says(words, row)}."


def outcome_says(words: Words, row: Row) -> str:
    """Say what a row says, or that the calendar decides."""
    if row.by_history:
        return "each edition that may have governed is asked whether it is met"
    if row.first is not None:
        since = words.of(row.first.tree)
        return f"the calendar decides, by the edition of: {since}"
    return OUTCOME_WORDS.get(row.outcome, row.outcome.replace("_", " "))
