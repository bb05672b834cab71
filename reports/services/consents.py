"""A client's written yes to another reader, and taking it back."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from django.db import transaction

from firm import audit
from firm.actor import Actor
from inspections.models import Contact, Party, Visit
from reports.models import Consent, ShareLink
from reports.services.share_links import UnableToShare

WORDING_VERSION: Final = "2"
WHAT: Final = {
    "FULL": "the whole report",
    "SUMMARY": "what matters first in the report, with its photos, and what could "
    "not be seen, and nothing else",
}


@transaction.atomic
def consent(
    *,
    actor: Actor,
    visit: Visit,
    given_by: Contact,
    for_contact: Contact,
    scope: str,
    how: str,
    now: datetime,
) -> Consent:
    """Record a client's written yes, by the client's own link or by the office."""
    is_client = Party.objects.filter(
        visit=visit, contact=given_by, part=Party.As.CLIENT
    ).exists()
    if not is_client:
        raise UnableToShare("Only a named client of the visit can agree to this.")
    row = Consent.objects.create(
        firm=actor.firm,
        visit=visit,
        given_by=given_by,
        for_contact=for_contact,
        scope=scope,
        wording=consent_wording(for_contact.name, scope),
        wording_version=WORDING_VERSION,
        given_at=now,
        how=how,
    )
    audit.record(
        actor=actor,
        event="consent.given",
        subject=f"visit:{visit.pk}",
        detail={"for": str(for_contact.pk), "scope": scope, "how": how},
    )
    return row


def consent_wording(name: str, scope: str) -> str:
    return (
        f"I agree that {name} may read {WHAT[scope]}. "
        "I can take this back at any time; it then ends from that moment."
    )


@transaction.atomic
def withdraw_consent(*, actor: Actor, row: Consent, now: datetime) -> None:
    """Take consent back; every door that stood on it closes with it."""
    Consent.objects.filter(pk=row.pk, withdrawn_at__isnull=True).update(
        withdrawn_at=now
    )
    ShareLink.objects.filter(consent=row, revoked_at__isnull=True).update(
        revoked_at=now
    )
    audit.record(
        actor=actor, event="consent.withdrawn", subject=f"visit:{row.visit_id}"
    )
