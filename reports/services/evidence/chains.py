"""The firm's two chains as links with what the rows say beside them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from firm import audit, canonical, chain
from firm.actor import Actor
from firm.models import AuditEntry, ChainHead
from reports.models import ReleaseEntry


@dataclass(frozen=True, slots=True)
class Told:
    """One link as computed from its row, and the entry that the row holds."""

    link: chain.Link
    stored: str


def releases(actor: Actor) -> list[Told]:
    rows = ReleaseEntry.objects.filter(firm=actor.firm).order_by("seq")
    return [
        Told(
            chain.Link(
                row.seq,
                str(row.firm_id),
                "release",
                chain.stamp(row.at),
                row.payload,
                row.prev,
            ),
            row.entry,
        )
        for row in rows
    ]


def deeds(actor: Actor) -> list[Told]:
    rows = AuditEntry.objects.filter(firm=actor.firm).order_by("seq")
    return [deed(row) for row in rows]


def deed(row: AuditEntry) -> Told:
    payload = canonical.digest(audit.payload_of(row))
    at = chain.stamp(row.at)
    link = chain.Link(row.seq, str(row.firm_id), "audit", at, payload, row.prev)
    return Told(link, row.entry)


def first_bad(told: list[Told]) -> str | None:
    return chain.first_bad((one.link, one.stored) for one in told)


def heads(actor: Actor) -> Iterator[ChainHead]:
    yield from ChainHead.objects.filter(firm=actor.firm).order_by("chain")
