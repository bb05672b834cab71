"""Opening a door: the code where one is asked, tries counted, the lock."""

from __future__ import annotations

import secrets
from datetime import datetime, timedelta
from typing import Final

from django.contrib.auth.hashers import check_password
from django.db import transaction

from firm import audit
from firm.actor import Actor
from firm.errors import Refusal
from firm.mail import send
from reports.models import LinkOpening, ShareLink
from reports.services.share_links import Caller, note_opening

QUARTER, DAY = timedelta(minutes=15), timedelta(days=1)
TRIES_A_QUARTER: Final = 5
TRIES_A_DAY: Final = 20


class WrongCode(Refusal):
    """The code is wrong, or too many were."""

    code = "wrong-code"


def new_code() -> str:
    """Six figures, told over another channel than the link."""
    return f"{secrets.randbelow(10**6):06}"


def open_door(*, link: ShareLink, code: str, caller: Caller, now: datetime) -> None:
    """Note that the report was opened; raises WrongCode when the code does not fit.

    A wrong try must leave its mark although it is refused, so the refusal is raised
    after the mark is written.
    """
    if link.code and not _fits(link, code.strip(), caller, now):
        raise WrongCode("That code does not open it. Look again, or call the firm.")
    with transaction.atomic():
        note_opening(link=link, action="opened", caller=caller, now=now)
        audit.record(
            actor=Actor.link(link.visit.firm, link.contact.name, link.pk),
            event="share_link.opened",
            subject=f"visit:{link.visit_id}",
            detail={"link": str(link.pk)},
        )


def _fits(link: ShareLink, code: str, caller: Caller, now: datetime) -> bool:
    """Compare under the link's lock: no two tries at once slip past the count."""
    with transaction.atomic():
        row = ShareLink.objects.select_for_update().get(pk=link.pk)
        wrong = LinkOpening.objects.filter(link=row, action="wrong_code")
        if row.locked_at is not None:
            raise WrongCode("Too many wrong codes. The link is locked; call the firm.")
        if wrong.filter(at__gt=now - QUARTER).count() >= TRIES_A_QUARTER:
            raise WrongCode("Too many wrong codes. Wait 15 minutes, then try again.")
        if check_password(code, row.code):
            return True
        note_opening(link=row, action="wrong_code", caller=caller, now=now)
        if wrong.filter(at__gt=now - DAY).count() >= TRIES_A_DAY:
            _lock(row, link, now)
        return False


def _lock(row: ShareLink, link: ShareLink, now: datetime) -> None:
    row.locked_at = now
    row.save(update_fields=["locked_at"])
    firm = link.visit.firm
    audit.record(
        actor=Actor.system(firm),
        event="share_link.locked",
        subject=f"visit:{link.visit_id}",
        detail={"link": str(link.pk)},
    )
    if firm.email:
        send(
            firm=firm,
            to=firm.email,
            template="reports/mail/link_locked",
            context={"name": link.contact.name, "visit": link.visit, "firm": firm},
        )
