"""The agreement of a visit: frozen text, a link for each client, signatures."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction

from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, Refusal
from firm.mail import send
from firm.models import CapabilityDoor
from firm.tokens import digest_of, new_token
from inspections.models import Agreement, AgreementSignature, Interest, Party, Visit

LINK_LASTS = timedelta(days=30)


class UnableToSign(Refusal):
    """The agreement is signed already, or its link has run out."""

    code = "unable-to-sign"


@dataclass(frozen=True, slots=True)
class Asked:
    """A client who has been asked to sign, and the token that was sent."""

    party: Party
    token: str


@transaction.atomic
def send_out(
    *, actor: Actor, visit: Visit, text: str, address: str, now: datetime
) -> list[Asked]:
    """Freeze the text and send each client a link of their own.

    `address` is the base of the signing page; returns the fresh tokens, which are
    kept nowhere. Asking again after the text was frozen sends new links.
    """
    actor.require("visits.book")
    agreement = _freeze(actor, visit, text, now)
    asked = [
        _ask(actor, agreement, party, address, now)
        for party in Party.objects.filter(
            firm=actor.firm, visit=visit, part=Party.As.CLIENT
        ).select_related("contact")
    ]
    audit.record(
        actor=actor,
        event="agreement.sent",
        subject=f"visit:{visit.pk}",
        detail={"text_sha256": agreement.text_sha256, "clients": len(asked)},
    )
    return asked


def _freeze(actor: Actor, visit: Visit, text: str, now: datetime) -> Agreement:
    if not text.strip():
        raise BadInput("The agreement has no text.", field="text")
    interests = Interest.objects.filter(
        firm=actor.firm, visit=visit, told_at__isnull=True
    ).order_by("recorded_at", "pk")
    whole = text + _told_before(interests)
    agreement, made = Agreement.objects.get_or_create(
        visit=visit,
        defaults={
            "firm": actor.firm,
            "text": whole,
            "text_sha256": hashlib.sha256(whole.encode()).hexdigest(),
            "made_at": now,
        },
    )
    if made:
        interests.update(told_at=now, told_how="in the agreement, before signing")
    return agreement


def _told_before(interests: Iterable[Interest]) -> str:
    """Write what a client should know of us above the place where they sign."""
    lines = [f"- {one.get_kind_display()}: {one.text}" for one in interests]
    if not lines:
        return ""
    head = "What you should know of us before you sign:"
    return "\n\n" + "\n".join([head, *lines]) + "\n"


def _ask(
    actor: Actor, agreement: Agreement, party: Party, address: str, now: datetime
) -> Asked:
    token = new_token()
    known = AgreementSignature.objects.filter(
        firm=actor.firm, agreement=agreement, party=party
    ).first()
    if known is None:
        AgreementSignature.objects.create(
            firm=actor.firm,
            agreement=agreement,
            party=party,
            token_sha256=digest_of(token),
            expires_at=now + LINK_LASTS,
        )
    elif known.signed_at is None:
        known.token_sha256, known.expires_at = digest_of(token), now + LINK_LASTS
        known.save(update_fields=["token_sha256", "expires_at"])
    else:
        return Asked(party, "")
    CapabilityDoor.objects.create(token_sha256=digest_of(token), firm=actor.firm)
    if party.contact.email:
        send(
            firm=actor.firm,
            to=party.contact.email,
            template="inspections/mail/agreement",
            context={
                "name": party.contact.name,
                "firm": actor.firm,
                "link": f"{address}/s/{token}",
            },
        )
    return Asked(party, token)


@transaction.atomic
def sign(
    *, actor: Actor, signature: AgreementSignature, name: str, how: str, now: datetime
) -> None:
    """Sign for one client, who types their own name. Raises UnableToSign, BadInput."""
    locked = AgreementSignature.objects.select_for_update().get(pk=signature.pk)
    if locked.signed_at is not None:
        raise UnableToSign("This agreement has been signed with this link already.")
    if locked.expires_at <= now:
        raise UnableToSign("This link has run out. Ask the firm for a new one.")
    typed = " ".join(name.split())
    if len(typed) < 3:  # noqa: PLR2004 - shorter is a slip, not a name
        raise BadInput("Type your full name to sign.", field="name")
    locked.signed_at, locked.signed_name, locked.signed_how = now, typed, how
    locked.signed_text_sha256 = locked.agreement.text_sha256
    locked.save()
    audit.record(
        actor=actor,
        event="agreement.signed",
        subject=f"visit:{locked.agreement.visit_id}",
        detail={
            "signature": str(locked.pk),
            "how": how,
            "text_sha256": locked.signed_text_sha256,
        },
    )
