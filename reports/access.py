"""Which releases somebody may see: members by role, holders of a link by its scope."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from django.db.models import QuerySet
from django.http import Http404

from firm.actor import Actor
from firm.tokens import digest_of
from inspections.access import visible_contents, visible_visits
from inspections.models import Contact, Party, Visit
from reports.models import (
    Consent,
    LinkKey,
    Question,
    RecheckItem,
    Release,
    ShareLink,
    UrgentNotice,
)


class LinkClosed(Exception):
    """The link was good once: revoked, run out, or its consent was withdrawn.

    `run_out` holds the link when time alone closed it: it may be renewed.
    """

    def __init__(self, run_out: ShareLink | None = None) -> None:
        super().__init__("closed")
        self.run_out = run_out


def release_to_read(actor: Actor, release_id: UUID) -> Release:
    row = (
        Release.objects.select_related("visit__property")
        .filter(
            firm=actor.firm,
            pk=release_id,
            visit__in=visible_contents(actor).values("pk"),
        )
        .first()
    )
    if row is None:
        raise Http404
    return row


def released_to_read(actor: Actor, release_id: UUID) -> Release:
    row = release_to_read(actor, release_id)
    if row.state != Release.State.RELEASED:
        raise Http404
    return row


def notice_to_read(actor: Actor, notice_id: UUID) -> UrgentNotice:
    row = (
        UrgentNotice.objects.select_related("visit__property", "visit__inspector")
        .filter(
            firm=actor.firm,
            pk=notice_id,
            visit__in=visible_contents(actor).values("pk"),
        )
        .first()
    )
    if row is None:
        raise Http404
    return row


def party_to_share(visit: Visit, party_id: UUID) -> Party:
    """Return somebody with a part in this visit."""
    party = (
        Party.objects.select_related("contact").filter(visit=visit, pk=party_id).first()
    )
    if party is None:
        raise Http404
    return party


def first_client(visit: Visit) -> Contact:
    """Return the client whose written consent the office holds."""
    party = (
        Party.objects.select_related("contact")
        .filter(visit=visit, part=Party.As.CLIENT)
        .order_by("contact__name")
        .first()
    )
    if party is None:
        raise Http404
    contact: Contact = party.contact
    return contact


def link_by_token(token: str, now: datetime) -> ShareLink:
    """Return the live link of a token; its firm is bound already."""
    key = LinkKey.objects.filter(token_sha256=digest_of(token)).first()
    if key is None:
        raise Http404
    return _live(_links().get(pk=key.link_id), now)


def link_by_id(link_id: UUID, now: datetime) -> ShareLink:
    """Return the link an opened share session holds, if it is still good."""
    link = _links().filter(pk=link_id).first()
    if link is None:
        raise Http404
    return _live(link, now)


def link_to_change(actor: Actor, link_id: UUID) -> ShareLink:
    link = _links().filter(firm=actor.firm, pk=link_id).first()
    if link is None:
        raise Http404
    return link


def readers(link: ShareLink) -> list[ShareLink]:
    """Return the live doors of the same visit that stand on this client's consent."""
    return list(
        _links()
        .filter(
            visit_id=link.visit_id,
            consent__given_by_id=link.contact_id,
            revoked_at__isnull=True,
        )
        .order_by("made_at")
    )


def latest_release(link: ShareLink) -> Release:
    """Return the newest released issue of the link's visit.

    Where that one was taken back there is nothing to read: an older one would mislead.
    """
    row = (
        Release.objects.filter(visit_id=link.visit_id, state=Release.State.RELEASED)
        .order_by("-issue")
        .first()
    )
    if row is None or row.taken_back.exists():
        raise Http404
    return row


def release_of_firm(actor: Actor, release_id: UUID) -> Release:
    """Return a released report of the firm's, for the office to go back to."""
    row = (
        Release.objects.select_related("visit__property")
        .filter(firm=actor.firm, pk=release_id, state=Release.State.RELEASED)
        .first()
    )
    if row is None:
        raise Http404
    return row


def recheck_item(actor: Actor, item_id: UUID) -> RecheckItem:
    """Return an item of a re-check whose visit this actor may see."""
    row = (
        RecheckItem.objects.select_related("visit__property")
        .filter(
            firm=actor.firm, pk=item_id, visit__in=visible_visits(actor).values("pk")
        )
        .first()
    )
    if row is None:
        raise Http404
    return row


def newest_released(actor: Actor, visit: Visit) -> Release | None:
    return (
        Release.objects.filter(
            firm=actor.firm, visit=visit, state=Release.State.RELEASED
        )
        .order_by("-issue")
        .first()
    )


def question_of_reader(link: ShareLink, question_id: UUID) -> Question:
    """Return a question that this very reader asked."""
    row = Question.objects.filter(
        visit_id=link.visit_id, contact_id=link.contact_id, pk=question_id
    ).first()
    if row is None:
        raise Http404
    return row


def question_to_answer(actor: Actor, question_id: UUID) -> Question:
    actor.require("reports.answer")
    row = (
        Question.objects.select_related("visit__property", "contact")
        .filter(firm=actor.firm, pk=question_id)
        .first()
    )
    if row is None:
        raise Http404
    return row


def consent_to_withdraw(link: ShareLink, consent_id: UUID) -> Consent:
    """Return a consent that this very client gave and may take back."""
    row = Consent.objects.filter(
        visit_id=link.visit_id,
        given_by_id=link.contact_id,
        pk=consent_id,
        withdrawn_at__isnull=True,
    ).first()
    if row is None:
        raise Http404
    return row


def consent_to_close(actor: Actor, consent_id: UUID) -> Consent:
    """Return a consent of the firm's that a client has taken back in writing."""
    row = Consent.objects.filter(
        firm=actor.firm, pk=consent_id, withdrawn_at__isnull=True
    ).first()
    if row is None:
        raise Http404
    return row


def _links() -> QuerySet[ShareLink]:
    return ShareLink.objects.select_related(
        "consent", "contact", "visit__property", "visit__firm"
    )


def _live(link: ShareLink, now: datetime) -> ShareLink:
    withdrawn = link.consent is not None and link.consent.withdrawn_at is not None
    if link.revoked_at is not None or withdrawn:
        raise LinkClosed
    if link.expires_at <= now:
        raise LinkClosed(run_out=link)
    return link
