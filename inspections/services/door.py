"""What was signed and paid at the door, on a phone without a signal, taken over.

The log is what was said and stays whole; here it is carried over to the booking: a
signature to the agreement it names, payments once they cover what was agreed. Repeats
add nothing, and nothing here ever refuses an entry of the log.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.utils import timezone

from firm import audit
from firm.actor import Actor
from firm.tokens import digest_of, new_token
from inspections.models import Agreement, AgreementSignature, Head, Party, Visit

AT_DOOR: Final = "on the inspector's phone"
KINDS: Final = frozenset({"signature", "scope_change", "payment"})
Record = Mapping[str, Any]


def settle(*, actor: Actor, visit: Visit, touched: Iterable[UUID]) -> None:
    """Carry over what the touched records say, if they are of the door at all."""
    heads = Head.objects.filter(firm=visit.firm_id, visit=visit)
    kinds = heads.filter(rec__in=set(touched), field="kind")
    if not any(head.value in KINDS for head in kinds):
        return
    records = _records(heads)
    for one in records:
        if one.get("kind") == "signature":
            _sign(actor, visit, one)
    _pay(actor, visit, records)


def _records(heads: Any) -> list[Record]:
    """Return the door's records that nobody took off, each field's first head."""
    of_door = heads.filter(field="kind", value__in=sorted(KINDS)).values("rec")
    found: dict[UUID, dict[str, Any]] = {}
    for head in heads.filter(rec__in=of_door).order_by("-version"):
        found.setdefault(head.rec, {})[head.field] = head.value
    return [found[rec] for rec in sorted(found) if not found[rec].get("_gone")]


def _sign(actor: Actor, visit: Visit, said: Record) -> None:
    agreement = Agreement.objects.filter(firm=visit.firm_id, visit=visit).first()
    party = _client(visit, said.get("client"))
    signed_at = _moment(said.get("signed_at"))
    name = " ".join(str(said.get("name") or "").split())
    # Only the very text that stood on the phone is signed.
    if agreement is None or party is None or signed_at is None or not name:
        return
    if said.get("text_sha256") != agreement.text_sha256:
        return
    signature, _ = AgreementSignature.objects.get_or_create(
        firm_id=visit.firm_id,
        agreement=agreement,
        party=party,
        defaults={
            "token_sha256": digest_of(new_token()),
            "expires_at": timezone.now(),
        },
    )
    if signature.signed_at is not None:
        return
    signature.signed_at, signature.signed_name = signed_at, name[:120]
    signature.signed_how = AT_DOOR[:20]
    signature.signed_text_sha256 = agreement.text_sha256
    signature.save()
    audit.record(
        actor=actor,
        event="agreement.signed",
        subject=f"visit:{visit.pk}",
        detail={
            "signature": str(signature.pk),
            "how": AT_DOOR,
            "text_sha256": agreement.text_sha256,
        },
    )


def _client(visit: Visit, client: object) -> Party | None:
    try:
        key = UUID(str(client))
    except ValueError:
        return None
    return Party.objects.filter(
        firm=visit.firm_id, visit=visit, pk=key, part=Party.As.CLIENT
    ).first()


def _pay(actor: Actor, visit: Visit, records: list[Record]) -> None:
    """Note the moment from which what was agreed, with its changes, is paid."""
    payments = [one for one in records if one.get("kind") == "payment"]
    if visit.paid_at is not None or not payments:
        return
    changed = sum(
        _cents(one.get("price_cents"))
        for one in records
        if one.get("kind") == "scope_change"
    )
    received = sum(_cents(one.get("amount_cents")) for one in payments)
    moments = [at for one in payments if (at := _moment(one.get("received_at")))]
    if not moments or received < visit.fee_cents + changed:
        return
    visit.paid_at = max(moments)
    visit.save(update_fields=["paid_at"])
    audit.record(
        actor=actor,
        event="payment.received",
        subject=f"visit:{visit.pk}",
        detail={"cents": received, "how": AT_DOOR},
    )


def _cents(value: object) -> int:
    return value if isinstance(value, int) and not isinstance(value, bool) else 0


def _moment(text: object) -> datetime | None:
    try:
        return datetime.fromisoformat(str(text))
    except ValueError:
        return None
