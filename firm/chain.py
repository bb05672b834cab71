"""Adding a link to one of the firm's hash chains, and walking a chain."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

from firm import canonical
from firm.models import ChainHead, Firm


@dataclass(frozen=True, slots=True)
class Link:
    """One entry of a chain, as it is hashed."""

    seq: int
    firm: str
    kind: str
    at: str
    payload: str
    prev: str

    @property
    def entry(self) -> str:
        return canonical.digest(
            {
                "seq": self.seq,
                "firm": self.firm,
                "kind": self.kind,
                "time": self.at,
                "payload_hash": self.payload,
                "prev": self.prev,
            }
        )


def stamp(moment: datetime) -> str:
    """RFC 3339 in UTC with microseconds: the one form that is hashed."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def add(*, firm: Firm, chain: str, kind: str, at: datetime, payload: str) -> Link:
    """Take the chain's lock, make the next link and move the head to it."""
    ChainHead.objects.get_or_create(firm=firm, chain=chain)
    head = ChainHead.objects.select_for_update().get(firm=firm, chain=chain)
    link = Link(head.seq + 1, str(firm.pk), kind, stamp(at), payload, head.entry)
    head.seq, head.entry = link.seq, link.entry
    head.save(update_fields=["seq", "entry"])
    return link


def first_bad(links: Iterable[tuple[Link, str]]) -> str | None:
    """Say which link of a chain, given with its stored entry, is wrong first."""
    prev, seq = "", 0
    for link, stored in links:
        if link.seq != seq + 1:
            return f"after {seq}: the next link is {link.seq}"
        if link.prev != prev or link.entry != stored:
            return f"link {link.seq} does not match"
        prev, seq = stored, link.seq
    return None
