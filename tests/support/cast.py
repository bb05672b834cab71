"""The fixed cast: two firms, their people, and how to act as them."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from django.test import Client

from firm.actor import Actor
from firm.models import Firm, Licence, Membership, StandardInForce, User
from firm.tenancy import bind, bound

PASSWORD = "a long and easy password"


@dataclass(frozen=True)
class Person:
    user: User
    member: Membership
    firm: Firm

    @property
    def actor(self) -> Actor:
        return Actor.member(self.firm, self.member)

    def client(self, **extra: Any) -> Client:
        client = Client(**extra)
        client.force_login(self.user)
        session = client.session
        session["firm"] = str(self.firm.pk)
        session.save()
        return client


@dataclass(frozen=True)
class Cast:
    """Northside: owner, scheduler, reviewer, ines (assigned), omar (not assigned).

    Elsewhere: stranger, who holds every role of another firm.
    """

    northside: Firm
    elsewhere: Firm
    owner: Person
    scheduler: Person
    reviewer: Person
    ines: Person
    omar: Person
    trainee: Person
    stranger: Person

    @contextmanager
    def inside(self, firm: Firm | None = None) -> Iterator[None]:
        with bound((firm or self.northside).pk):
            yield


def make_firm(slug: str, name: str, state: str = "NC") -> Firm:
    return Firm.objects.create(
        slug=slug,
        name=name,
        state=state,
        time_zone="America/New_York",
        address="1 Test Lane\nQuarry Ford, NC 27000",
        phone="919-555-0100",
        email=f"office@{slug}.example.com",
    )


def make_person(firm: Firm, name: str, *roles: str, licence: str = "") -> Person:
    """Make a user with a membership; binds the firm for the transaction."""
    user = User.objects.create_user(
        f"{name.split(maxsplit=1)[0].lower()}@{firm.slug}.example.com",
        PASSWORD,
        name=name,
    )
    with bound(firm.pk):
        member = Membership.objects.create(
            firm=firm, user=user, name=name, email=user.email, roles=list(roles)
        )
        if licence:
            Licence.objects.create(
                firm=firm,
                membership=member,
                state=firm.state,
                number=licence,
                valid_from=date(2020, 1, 1),
                expires_on=date(2030, 9, 30),
            )
    return Person(user, member, firm)


def put_in_force(firm: Firm, keeper: Membership, pack: str = "NC") -> None:
    """The firm has checked a state's standard and works by it."""
    with bound(firm.pk):
        StandardInForce.objects.create(
            firm=firm,
            pack=pack,
            version=1,
            keeper=keeper,
            checked_by=keeper,
            checked_on=date(2026, 1, 5),
            on_at=datetime(2026, 1, 5, 12, tzinfo=UTC),
            said={"name": "North Carolina", "standards": "11 NCAC 08"},
        )


def make_cast() -> Cast:
    """Two firms; the first one is bound to the test's transaction."""
    elsewhere = make_firm("elsewhere", "Elsewhere House Looks")
    stranger = make_person(
        elsewhere,
        "Stig Stranger",
        "OWNER",
        "SCHEDULER",
        "REVIEWER",
        "INSPECTOR",
        licence="E-9",
    )
    north = make_firm("northside", "Northside House Looks")
    cast = Cast(
        northside=north,
        elsewhere=elsewhere,
        owner=make_person(north, "Olive Owner", "OWNER"),
        scheduler=make_person(north, "Sal Scheduler", "SCHEDULER"),
        reviewer=make_person(north, "Rae Reviewer", "REVIEWER", licence="N-3"),
        ines=make_person(north, "Ines Field", "INSPECTOR", licence="N-1"),
        omar=make_person(north, "Omar Field", "INSPECTOR", licence="N-2"),
        trainee=make_person(north, "Tova Trainee", "TRAINEE"),
        stranger=stranger,
    )
    put_in_force(elsewhere, stranger.member)
    put_in_force(north, cast.owner.member)
    bind(north.pk)
    return cast
