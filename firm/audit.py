"""Writing the firm's chain of what was done, in the same transaction as the deed."""

from typing import Any

from django.utils import timezone

from firm import canonical, chain
from firm.actor import Actor
from firm.models import AuditEntry, ChainHead


def record(
    *, actor: Actor, event: str, subject: str, detail: dict[str, Any] | None = None
) -> AuditEntry:
    """Append an entry: event is noun.past_participle, subject is kind:id."""
    now = timezone.now()
    payload = {
        "who": actor.name,
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
            payload = {
                "who": row.who,
                "who_id": row.who_id,
                "event": row.event,
                "subject": row.subject,
                "detail": row.detail,
            }
            yield (
                chain.Link(
                    row.seq,
                    str(row.firm_id),
                    "audit",
                    chain.stamp(row.at),
                    canonical.digest(payload),
                    row.prev,
                ),
                row.entry,
            )

    return chain.first_bad(links())
