"""Writing the firm's chain of what was done, in the same transaction as the deed."""

from typing import Any

from django.utils import timezone

from firm import canonical, chain
from firm.actor import Actor
from firm.models import AuditEntry, ChainHead

HOLDER = "holder of a link"


def record(
    *, actor: Actor, event: str, subject: str, detail: dict[str, Any] | None = None
) -> AuditEntry:
    """Append an entry: event is noun.past_participle, subject is kind:id."""
    now = timezone.now()
    payload = {
        # A client is known here by their link alone: names can be erased, links of a
        # chain cannot.
        "who": HOLDER if actor.who_id.startswith("link:") else actor.name,
        "who_id": actor.who_id,
        "event": event,
        "subject": subject,
        "detail": detail or {},
    }
    link = chain.add(
        firm=actor.firm,
        chain=ChainHead.Chain.AUDIT,
        kind="audit",
        at=now,
        payload=canonical.digest(payload),
    )
    return AuditEntry.objects.create(
        firm=actor.firm,
        seq=link.seq,
        at=now,
        prev=link.prev,
        entry=link.entry,
        **payload,
    )


def first_bad_entry(actor: Actor) -> str | None:
    """Walk the firm's audit chain; None when every link holds."""

    def links() -> Any:
        for row in AuditEntry.objects.filter(firm=actor.firm).order_by("seq"):
            yield (
                chain.Link(
                    row.seq,
                    str(row.firm_id),
                    "audit",
                    chain.stamp(row.at),
                    canonical.digest(payload_of(row)),
                    row.prev,
                ),
                row.entry,
            )

    return chain.first_bad(links())


def payload_of(row: AuditEntry) -> dict[str, Any]:
    """Return what an entry's payload is the digest of."""
    return {
        "who": row.who,
        "who_id": row.who_id,
        "event": row.event,
        "subject": row.subject,
        "detail": row.detail,
    }
