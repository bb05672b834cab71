"""Puts conditions, dates and certainty into words for the people of the firm."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from findings.rules import era
from findings.rules.era import Verdict

if TYPE_CHECKING:
    from findings.rules.rule import Rule

SIGNS = {
    "eq": "is", "ne": "is not", "lt": "<", "le": "<=", "gt": ">", "ge": ">=",
    "in": "among", "add": "+", "sub": "-", "mul": "x",
}  # fmt: skip
BLANK = re.compile(r"\{([a-zA-Z_][a-zA-Z0-9_]*)\}")


def word(answer: object) -> str:
    """yes, no or not known."""
    return {True: "yes", False: "no"}.get(answer, "not known")  # type: ignore[call-overload,no-any-return]


def words(tree: Any, fields: Mapping[str, Any]) -> str:
    """Write out a condition with the values it read beside the names."""
    return "".join(
        one if isinstance(one, str) else f"{one.name} ({_plain(fields.get(one.name))})"
        for one in _written(tree)
    )


@dataclass(frozen=True, slots=True)
class _Read:
    """A place in a written condition where a field's value goes."""

    name: str


# A rule's conditions live as long as the rule, so each is written out once.
_WRITTEN: dict[int, tuple[Any, tuple[str | _Read, ...]]] = {}
_MOST_WRITTEN = 20_000


def _written(tree: Any) -> tuple[str | _Read, ...]:
    known = _WRITTEN.get(id(tree))
    if known is not None and known[0] is tree:
        return known[1]
    if len(_WRITTEN) > _MOST_WRITTEN:
        _WRITTEN.clear()
    pieces = tuple(_pieces(tree))
    _WRITTEN[id(tree)] = (tree, pieces)
    return pieces


def _pieces(tree: Any) -> Iterator[str | _Read]:
    if not isinstance(tree, list):
        yield _plain(tree)
        return
    name, *args = tree
    if name == "lit":
        items = args[0] if isinstance(args[0], list) else args
        yield ", ".join(map(_plain, items))
    elif name == "f":
        yield _Read(args[0])
    elif name == "choose" and args[0] == ["known", args[1]]:
        yield from _pieces(args[1])
    else:
        joint = SIGNS.get(name) or (name if name in ("and", "or") else "")
        yield from _joined([_pieces(arg) for arg in args], name, joint)


def _joined(
    parts: list[Iterator[str | _Read]], name: str, joint: str
) -> Iterator[str | _Read]:
    if not joint:
        yield f"{name} "
    for at, part in enumerate(parts):
        if at:
            yield f" {joint} " if joint else ", "
        yield from part


def _plain(value: Any) -> str:
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return word(value)
    if isinstance(value, list):
        return f"{len(value)} of them"
    return str(value)


def fill(template: str, fields: Mapping[str, Any]) -> str:
    """Give a reason with its blanks filled; a blank without a value says so."""
    return BLANK.sub(lambda found: _plain(fields.get(found[1])), template)


def edition_text(verdict: Verdict) -> str:
    """Give the calendar's answer in words."""
    return {
        era.REQUIRED: "the rule of its day asked for it",
        era.NOT_REQUIRED: "met the rules of its day; newer habit differs",
        era.CANNOT_TELL: "cannot tell whether the rule was in force then",
        era.NO_DATE: "no date is known, so no edition can be named",
    }[verdict.status]


def certainty(rule: "Rule", outcome: str, edition: Mapping[str, Any]) -> str:
    """How sure, in words, from the rule's provenance and the calendar."""
    if outcome == "undetermined":
        return "cannot tell from what is recorded"
    parts = ["the facts decide it"]
    if edition.get("status") == era.CANNOT_TELL:
        parts = ["the facts are clear, the date is not"]
    if rule.provenance == "memory":
        parts.append("the rule rests on memory until the firm's reader ticks it")
    elif rule.provenance == "mixed":
        parts.append("part of the rule rests on memory")
    return "; ".join(parts)
