"""Erasing a client: names and files go, chains stay; a hold or the law's years win."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from findings.selectors import visit_asks
from firm import audit, storage
from firm.actor import Actor
from firm.errors import Refusal
from firm.models import Firm
from firm.tenancy import bound
from inspections.models import AgreementSignature, Contact, Party, Visit
from reports.models import Artefact, Release, ShareLink
from reports.rendering.withheld import GONE, without_names


class UnableToErase(Refusal):
    """Something has to be kept still; each visit is named with its reason."""

    code = "unable-to-erase"


def erase(*, actor: Actor, contact: Contact, now: datetime) -> int:
    """Take a person out of what the firm holds; return how many issues lost names.

    Rows change in one transaction; after it, files go. What is lost between the two is
    finished by asking again. Raises UnableToErase.
    """
    with transaction.atomic():
        # Locked before looking, so that no hold is placed in between.
        visits = list(
            Visit.objects.select_for_update(of=("self",))
            .select_related("property", "firm")
            .filter(
                firm=actor.firm,
                pk__in=Party.objects.filter(contact=contact).values("visit"),
            )
            .order_by("number")
        )
        if reasons := list(_to_keep(actor, visits, now)):
            raise UnableToErase("This has to be kept still.", details=reasons)
        _out_of_rows(actor, contact, now)
        rows = [row for visit in visits for row in _out_of_releases(visit, now)]
        audit.record(
            actor=actor,
            event="contact.erased",
            subject=f"contact:{contact.pk}",
            detail={"issues": len(rows)},
        )
        files = Artefact.objects.filter(
            firm=actor.firm,
            release__visit__in=visits,
            release__erased_at__isnull=False,
        )
        _go_after_commit([file.storage_key for file in files])
    return len(rows)


def erase_asked(firm_slug: str, contact_id: UUID, now: datetime) -> int:
    """Do it for the operator, who names firm and contact. Raises UnableToErase."""
    firm = Firm.objects.filter(slug=firm_slug).first()
    if firm is None:
        raise UnableToErase("There is no such firm.")
    with bound(firm.pk):
        contact = Contact.objects.filter(firm=firm, pk=contact_id).first()
        if contact is None:
            raise UnableToErase("The firm has no such contact.")
        return erase(actor=Actor.system(firm), contact=contact, now=now)


def _to_keep(actor: Actor, visits: list[Visit], now: datetime) -> Iterator[str]:
    for visit in visits:
        newest = visit.releases.order_by("-issue").first()
        delivered = newest.released_at if newest else None
        kept = visit_asks.kept_of(actor, visit, delivered_at=delivered)
        today = now.astimezone(ZoneInfo(visit.property.time_zone)).date()
        if visit.status != Visit.Status.RELEASED:
            yield f"{visit.number}: its report is not released"
        elif kept.until is None:
            yield f"{visit.number}: {kept.because}"
        elif kept.until >= today:
            yield f"{visit.number}: kept until {kept.until}, {kept.because}"


def _out_of_rows(actor: Actor, contact: Contact, now: datetime) -> None:
    AgreementSignature.objects.filter(
        firm=actor.firm, party__contact=contact, signed_at__isnull=False
    ).update(signed_name=GONE)
    ShareLink.objects.filter(
        firm=actor.firm, contact=contact, revoked_at__isnull=True
    ).update(revoked_at=now)
    contact.name, contact.email, contact.phone = GONE, "", ""
    contact.save()


def _out_of_releases(visit: Visit, now: datetime) -> Iterator[Release]:
    rows = visit.releases.filter(
        state=Release.State.RELEASED, erased_at__isnull=True
    ).order_by("issue")
    for row in rows:
        row.snapshot = without_names(bytes(row.snapshot))
        row.case_file, row.erased_at = {}, now
        row.save(update_fields=["snapshot", "case_file", "erased_at"])
        yield row


def _go_after_commit(keys: list[str]) -> None:
    def go() -> None:
        for key in keys:
            storage.remove(key)

    transaction.on_commit(go)
