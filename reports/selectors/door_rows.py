"""Rows of the doors to a report, and of the people a door may be made for."""

from __future__ import annotations

from typing import Final
from uuid import UUID

from django.urls import reverse

from firm.actor import Actor
from inspections.models import Party, Visit
from inspections.selectors.words import moment
from reports.models import Consent, LinkOpening, ShareLink
from reports.selectors.release_pages import DoorRow, PersonRow

SHOWN: Final = 40
WORDS: Final = {
    "fetched": "link fetched, not opened",
    "opened": "opened",
    "report": "report read",
    "photo": "a photo, large",
    "pdf": "PDF taken",
    "zip": "photos taken",
    "wrong_code": "wrong code",
}


def doors(actor: Actor, visit: Visit) -> tuple[DoorRow, ...]:
    links = (
        ShareLink.objects.filter(firm=actor.firm, visit=visit)
        .select_related("contact", "consent")
        .prefetch_related("openings", "keys")
        .order_by("made_at")
    )
    zone = visit.property.time_zone
    return tuple(_door(actor, link, zone) for link in links)


def _door(actor: Actor, link: ShareLink, zone: str) -> DoorRow:
    openings = sorted(link.openings.all(), key=lambda one: one.pk, reverse=True)
    opened = [one.at for one in openings if one.action == "opened"]
    keys = sorted(link.keys.all(), key=lambda key: key.made_at)
    part = Party.As(link.part).label
    return DoorRow(
        link_id=str(link.pk),
        person=link.contact.name,
        part=part if link.whole else f"{part}, what matters first",
        state=_state(link, zone),
        last_opened=moment(max(opened), zone) if opened else "not opened yet",
        ending=keys[-1].last_four if keys else "",
        close_url=""
        if link.revoked_at
        else reverse("share-link-revoke", args=[actor.firm.slug, link.pk]),
        log=tuple(_line(one, zone) for one in openings[:SHOWN]),
    )


def _state(link: ShareLink, zone: str) -> str:
    if link.revoked_at:
        return f"closed {moment(link.revoked_at, zone)}"
    if link.locked_at:
        return f"locked after wrong codes, {moment(link.locked_at, zone)}"
    sent = f"sent {moment(link.sent_at, zone)}, " if link.sent_at else ""
    return f"{sent}open until {moment(link.expires_at, zone)}"


def _line(one: LinkOpening, zone: str) -> str:
    words = WORDS.get(one.action, one.action)
    return f"{moment(one.at, zone)}: {words}, from {one.network} {one.browser}".strip()


def readers(actor: Actor, visit: Visit) -> tuple[PersonRow, ...]:
    agreed = set(
        Consent.objects.filter(
            firm=actor.firm, visit=visit, withdrawn_at__isnull=True
        ).values_list("for_contact_id", flat=True)
    )
    parties = (
        Party.objects.filter(firm=actor.firm, visit=visit)
        .exclude(part__in=[Party.As.SELLER, Party.As.ACCESS])
        .select_related("contact")
        .order_by("part", "contact__name")
    )
    return tuple(_reader(actor, visit, party, agreed) for party in parties)


def _reader(actor: Actor, visit: Visit, party: Party, agreed: set[UUID]) -> PersonRow:
    client = party.part == Party.As.CLIENT
    may = client or party.contact_id in agreed
    args = [actor.firm.slug, visit.pk]
    return PersonRow(
        party_id=str(party.pk),
        name=party.contact.name,
        part=party.get_part_display(),
        blocked="" if may else "Needs the client's written consent first.",
        consent_url="" if may else reverse("consent-record", args=args),
        share_url=reverse("share-link-make", args=args) if may else "",
        has_mail=bool(party.contact.email),
        code_first=not client and bool(actor.firm.policy.get("code_for_agents")),
    )
