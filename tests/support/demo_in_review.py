"""The demo's visit booked, walked and handed in through the pages, ready to review."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.utils import timezone

from firm.models import Firm, Membership
from firm.tenancy import bound
from inspections.models import Visit
from reports.demo import firms, password, story
from reports.demo.walk import client, office
from reports.demo.walk.field import Field
from reports.demo.walk.inbox import Inbox
from reports.demo.walk.party import Party
from tests.support.cast import Person


def demo_in_review(address: str, settings: Any, keep: Path) -> tuple[Visit, Person]:
    """Return the visit and Lucinda, who is to read it; some photos are sent."""
    settings.VAR_DIR = keep
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = str(keep / "mail")
    firms.load(keep, timezone.localdate())
    party = Party(
        address=address,
        password=password.kept(keep),
        inbox=Inbox(keep / "mail"),
        keep=keep,
        today=timezone.localdate(),
        go_on=lambda: None,
        every_photo=False,
    )
    with party:
        field = Field(party)
        office.book(party)
        office.send_agreement(party)
        for who in ("dana", "rui"):
            client.sign(party, who)
        for act in (field.take_along, field.draw, field.push, field.upload):
            act()
        field.freeze_notice()
        field.decide()
        field.hand_in()
    return visit_of(party), person_of(party, str(story.review()["reviewer"]))


def firm_of() -> Firm:
    return Firm.objects.get(slug=story.firm()["firm"]["slug"])


def visit_of(party: Party) -> Visit:
    with bound(firm_of().pk):
        found: Visit = Visit.objects.select_related("inspector").get(
            pk=party.visit_id()
        )
        return found


def person_of(party: Party, key: str) -> Person:
    firm = firm_of()
    with bound(firm.pk):
        member = Membership.objects.select_related("user").get(
            firm=firm, email=party.person(key)["email"]
        )
        return Person(member.user, member, firm)
