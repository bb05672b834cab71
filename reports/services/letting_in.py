"""A client lets somebody else read the report, and takes it back."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from firm.actor import Actor
from inspections.models import Contact, Party
from reports.models import ShareLink
from reports.services import consents, share_links


@transaction.atomic
def let_in(
    *,
    actor: Actor,
    link: ShareLink,
    person: Mapping[str, Any],
    address: str,
    now: datetime,
) -> ShareLink:
    """Record the client's consent for a named person and send that person a link."""
    contact, _ = Contact.objects.get_or_create(
        firm=link.visit.firm, email=person["email"], name=person["name"]
    )
    party, _ = Party.objects.get_or_create(
        firm=link.visit.firm, visit=link.visit, contact=contact, part=person["part"]
    )
    consents.consent(
        actor=actor,
        visit=link.visit,
        given_by=link.contact,
        for_contact=contact,
        scope=person["scope"],
        how="on the report's own page",
        now=now,
    )
    return share_links.send_link(
        actor=actor,
        visit=link.visit,
        party=party,
        address=address,
        now=now,
        made_by=link.made_by_id,
    )
