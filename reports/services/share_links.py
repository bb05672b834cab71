"""Doors to a visit's reports: made, opened in two steps, consented, revoked."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import ip_address, ip_network
from uuid import UUID

from django.conf import settings
from django.db import transaction

from firm import audit
from firm.actor import Actor
from firm.errors import Refusal
from firm.mail import send
from firm.models import CapabilityDoor
from firm.tokens import digest_of, new_token
from inspections.models import Contact, Party, Visit
from reports.models import Consent, LinkOpening, ShareLink


class UnableToShare(Refusal):
    """The client's consent is missing, or nothing is released yet."""

    code = "unable-to-share"


@dataclass(frozen=True, slots=True)
class Caller:
    """Who stands at the door: cut down to what may be kept."""

    network: str
    browser: str

    @classmethod
    def of(cls, address: str, user_agent: str) -> Caller:
        return cls(_network(address), _family(user_agent))


@transaction.atomic
def issue(
    *,
    actor: Actor,
    visit: Visit,
    party: Party,
    address: str,
    now: datetime,
    made_by: UUID | None = None,
) -> tuple[ShareLink, str]:
    """Make a door for one person and send it; returns the token, kept nowhere.

    Raises UnableToShare: before the first release, and for anybody but a client
    without the client's consent. `made_by` is the member behind the client's own
    link when a client lets somebody in.
    """
    if made_by is None:
        actor.require("reports.share")
    if not visit.releases.filter(state="RELEASED").exists():
        raise UnableToShare("There is no released report to share yet.")
    token = new_token()
    link = ShareLink.objects.create(
        firm=actor.firm,
        visit=visit,
        contact=party.contact,
        part=party.part,
        consent=_consent_for(visit, party),
        token_sha256=digest_of(token),
        last_four=token[-4:],
        made_by_id=made_by or actor.member_id,
        expires_at=now + _lasts(party),
    )
    CapabilityDoor.objects.create(token_sha256=link.token_sha256, firm=actor.firm)
    _mail(actor, link, f"{address}/r/{token}")
    audit.record(
        actor=actor,
        event="share_link.issued",
        subject=f"visit:{visit.pk}",
        detail={"link": str(link.pk), "part": party.part},
    )
    return link, token


def _lasts(party: Party) -> timedelta:
    kind = "client" if party.part == Party.As.CLIENT else "agent"
    return timedelta(days=settings.FIRM_SHARE_LINK_DAYS[kind])


def _consent_for(visit: Visit, party: Party) -> Consent | None:
    """Return the consent a door stands on; a client's own needs none."""
    if party.part == Party.As.CLIENT:
        return None
    consent = Consent.objects.filter(
        visit=visit, for_contact=party.contact, withdrawn_at__isnull=True
    ).first()
    if consent is None:
        raise UnableToShare(
            f"{party.contact.name} may read the report only when a client has "
            "agreed in writing. Record the client's consent first."
        )
    return consent


def _mail(actor: Actor, link: ShareLink, address: str) -> None:
    if not link.contact.email:
        return
    send(
        firm=actor.firm,
        to=link.contact.email,
        template="reports/mail/share_link",
        context={"name": link.contact.name, "firm": actor.firm, "link": address},
    )


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
    what = Consent.Scope(scope).label.lower()
    return (
        f"I agree that {name} may read {what} of this inspection. "
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


@transaction.atomic
def revoke(*, actor: Actor, link: ShareLink, now: datetime) -> None:
    """Close a door; it holds from the next request."""
    actor.require("reports.share")
    ShareLink.objects.filter(pk=link.pk, revoked_at__isnull=True).update(revoked_at=now)
    audit.record(
        actor=actor,
        event="share_link.revoked",
        subject=f"visit:{link.visit_id}",
        detail={"link": str(link.pk)},
    )


def note_opening(
    *, link: ShareLink, action: str, caller: Caller, now: datetime
) -> None:
    """Write to the link's own log: fetched, opened, photo, pdf."""
    LinkOpening.objects.create(
        firm_id=link.firm_id,
        link=link,
        at=now,
        action=action,
        network=caller.network,
        browser=caller.browser,
    )


def _network(address: str) -> str:
    """Cut an address to its network: /24 or /48."""
    try:
        found = ip_address(address)
    except ValueError:
        return ""
    bits = 24 if found.version == 4 else 48  # noqa: PLR2004
    return str(ip_network(f"{found}/{bits}", strict=False))


def _family(user_agent: str) -> str:
    for name in ("Firefox", "Edg", "Chrome", "Safari"):
        if re.search(rf"\b{name}/", user_agent):
            return name
    return "other" if user_agent else ""
