"""Doors to a visit's reports: made, mailed, renewed, revoked; what happened there."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import ip_address, ip_network
from typing import Final
from uuid import UUID

from django.conf import settings
from django.contrib.auth.hashers import make_password
from django.db import transaction
from django.utils import timezone

from findings.standards.loader import pack
from findings.standards.retention import kept
from firm import audit, jobs
from firm.actor import Actor
from firm.errors import Refusal
from firm.mail import send_now
from firm.models import CapabilityDoor
from firm.tenancy import bound
from firm.tokens import digest_of, new_token
from inspections.models import AgreementSignature, Party, Visit
from reports.models import Consent, LinkKey, LinkOpening, ShareLink

TASK = "reports.send_link"
RENEW_AGAIN: Final = timedelta(minutes=15)


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
def send_link(
    *,
    actor: Actor,
    visit: Visit,
    party: Party,
    address: str,
    now: datetime,
    made_by: UUID | None = None,
    code: str = "",
) -> ShareLink:
    """Make a door for one person and have its address mailed.

    Raises UnableToShare: before the first release, for anybody but a client without
    the client's consent, for a client who has not signed, and without an e-mail
    address. `made_by` is the member behind the client's own link when a client lets
    somebody in. The address is made by the worker that mails it and is kept nowhere.
    """
    if made_by is None:
        actor.require("reports.share")
    if not party.contact.email:
        raise UnableToShare(
            f"No e-mail address of {party.contact.name} is known. "
            "Have the link shown here instead, and hand it over yourself."
        )
    link = _make(actor, visit, party, now, made_by or actor.member_id, code)
    _have_it_sent(actor, link, address)
    return link


@transaction.atomic
def show_link(
    *,
    actor: Actor,
    visit: Visit,
    party: Party,
    now: datetime,
    code: str = "",
) -> tuple[ShareLink, str]:
    """Make a door and return its secret, for the office to hand over itself."""
    actor.require("reports.share")
    link = _make(actor, visit, party, now, actor.member_id, code)
    return link, _new_key(link, now)


@transaction.atomic
def renew(*, actor: Actor, link: ShareLink, address: str, now: datetime) -> None:
    """Mail a new address to whom the old one was made for, if that may still be.

    Nothing tells the asker whether it was: the answer is the same either way. Old
    addresses stay closed.
    """
    again = ShareLink.objects.filter(renews=link, made_at__gt=now - RENEW_AGAIN)
    if not link.contact.email or again.exists() or not _still_kept(link, now):
        return
    fresh = ShareLink.objects.create(
        firm=actor.firm,
        visit=link.visit,
        contact=link.contact,
        part=link.part,
        consent=link.consent,
        made_by_id=link.made_by_id,
        expires_at=now + _lasts(link.part),
        code=link.code,
        renews=link,
    )
    _have_it_sent(actor, fresh, address)
    _audit(actor, fresh, "share_link.renewed")


def deliver(*, actor: Actor, job_id: UUID, link_id: str, address: str) -> None:
    """Make a secret address and mail it: in the worker, so that no queue holds it.

    A repeat after a crash makes one more key; both open the same door.
    """
    with bound(actor.firm.pk):
        link = ShareLink.objects.select_related("contact").get(pk=link_id)
        if link.sent_at is not None or link.revoked_at is not None:
            return
        token = _new_key(link, timezone.now())
    send_now(
        firm=actor.firm,
        to=link.contact.email,
        template="reports/mail/share_link",
        context={
            "name": link.contact.name,
            "firm": actor.firm,
            "link": f"{address}/r/{token}",
            "client": link.part == Party.As.CLIENT,
            "has_code": bool(link.code),
        },
        work=job_id,
    )
    with bound(actor.firm.pk):
        ShareLink.objects.filter(pk=link.pk).update(sent_at=timezone.now())


def _have_it_sent(actor: Actor, link: ShareLink, address: str) -> None:
    jobs.enqueue(
        actor=actor,
        task=TASK,
        key=str(link.pk),
        link_id=str(link.pk),
        address=address,
    )


def _make(
    actor: Actor, visit: Visit, party: Party, now: datetime, made_by: UUID, code: str
) -> ShareLink:
    if not visit.releases.filter(state="RELEASED").exists():
        raise UnableToShare("There is no released report to share yet.")
    _has_signed(visit, party)
    link = ShareLink.objects.create(
        firm=actor.firm,
        visit=visit,
        contact=party.contact,
        part=party.part,
        consent=_consent_for(visit, party),
        made_by_id=made_by,
        expires_at=now + _lasts(party.part),
        code=make_password(code) if code else "",
    )
    _audit(actor, link, "share_link.issued")
    return link


def _has_signed(visit: Visit, party: Party) -> None:
    """Keep the report from a client who has not signed: it went out over that."""
    if party.part != Party.As.CLIENT:
        return
    signed = AgreementSignature.objects.filter(
        agreement__visit=visit, party=party, signed_at__isnull=False
    )
    if not signed.exists():
        raise UnableToShare(
            f"{party.contact.name} has not signed the agreement and gets no link."
        )


def _new_key(link: ShareLink, now: datetime) -> str:
    token = new_token()
    LinkKey.objects.create(
        firm_id=link.firm_id,
        link=link,
        token_sha256=digest_of(token),
        last_four=token[-4:],
        made_at=now,
    )
    CapabilityDoor.objects.create(token_sha256=digest_of(token), firm_id=link.firm_id)
    return token


def _lasts(part: str) -> timedelta:
    kind = "client" if part == Party.As.CLIENT else "agent"
    return timedelta(days=settings.FIRM_SHARE_LINK_DAYS[kind])


def _still_kept(link: ShareLink, now: datetime) -> bool:
    """Say whether the state's years of keeping the report still run."""
    until = kept(
        pack(link.visit.pack),
        inspected_on=link.visit.starts_at.date(),
        delivered_on=link.visit.starts_at.date(),
    ).until
    return until is None or now.date() <= until


def _consent_for(visit: Visit, party: Party) -> Consent | None:
    """Return the consent a door stands on, the newest; a client's own needs none."""
    if party.part == Party.As.CLIENT:
        return None
    consent = (
        Consent.objects.filter(
            visit=visit, for_contact=party.contact, withdrawn_at__isnull=True
        )
        .order_by("-given_at")
        .first()
    )
    if consent is None:
        raise UnableToShare(
            f"{party.contact.name} may read the report only when a client has "
            "agreed in writing. Record the client's consent first."
        )
    return consent


@transaction.atomic
def revoke(*, actor: Actor, link: ShareLink, now: datetime) -> None:
    """Close a door; it holds from the next request."""
    actor.require("reports.share")
    ShareLink.objects.filter(pk=link.pk, revoked_at__isnull=True).update(revoked_at=now)
    _audit(actor, link, "share_link.revoked")


def note_opening(
    *, link: ShareLink, action: str, caller: Caller, now: datetime
) -> None:
    """Write to the link's own log: fetched, opened, report, photo, pdf, wrong_code."""
    LinkOpening.objects.create(
        firm_id=link.firm_id,
        link=link,
        at=now,
        action=action,
        network=caller.network,
        browser=caller.browser,
    )


def _audit(actor: Actor, link: ShareLink, event: str) -> None:
    audit.record(
        actor=actor,
        event=event,
        subject=f"visit:{link.visit_id}",
        detail={"link": str(link.pk), "part": link.part},
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
