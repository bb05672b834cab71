"""Heads of the chains that leave the installation, and are held against it later."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Final

from firm import chain
from firm.actor import Actor
from firm.models import ChainHead, Firm

KINDS: Final = frozenset(one.value for one in ChainHead.Chain)


class BadAnchor(ValueError):
    """A line that no installation of ours wrote; its number is named."""


@dataclass(frozen=True, slots=True)
class Anchor:
    """Where a chain of a firm stood at a moment."""

    firm: str
    chain: str
    seq: int
    entry: str
    at: str


def now_held(actor: Actor, now: datetime) -> list[Anchor]:
    """Return the heads of the firm's chains, to be kept outside."""
    rows = ChainHead.objects.filter(firm=actor.firm).order_by("chain")
    return [
        Anchor(str(actor.firm.pk), row.chain, row.seq, row.entry, chain.stamp(now))
        for row in rows
    ]


def written(held: Iterable[Anchor]) -> str:
    """Return one line of JSON for each."""
    return "".join(json.dumps(asdict(one), sort_keys=True) + "\n" for one in held)


def read(text: str) -> list[Anchor]:
    """Read lines of JSON. Raises BadAnchor."""
    return list(_lines(text))


def of_firm(kept: Sequence[Anchor], firm: Firm) -> list[Anchor]:
    return [one for one in kept if one.firm == str(firm.pk)]


def _lines(text: str) -> Iterator[Anchor]:
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip():
            continue
        try:
            one = Anchor(**json.loads(line))
        except (ValueError, TypeError) as error:
            raise BadAnchor(f"line {number} is not an anchor: {error}") from error
        if one.chain not in KINDS or not isinstance(one.seq, int):
            raise BadAnchor(f"line {number} names no chain of ours")
        yield one
