"""What the running head and the foot of every signed-in page show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from django.urls import reverse

from firm.actor import Actor


@dataclass(frozen=True, slots=True)
class NavLink:
    """One plain link of the navigation; `note` is a few words such as "3 wait"."""

    label: str
    url: str
    current: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class HeaderRow:
    """The firm, the person and the sections that person may open."""

    firm_name: str
    firm_slug: str
    home_url: str
    person: str
    links: tuple[NavLink, ...] = ()
    sign_out_url: str = ""


# capability, url name, words; the first that a person may open is their home.
SECTIONS: Final = (
    ("visits.record", "my-day", "My day"),
    ("visits.book", "booking-list", "Bookings"),
    ("words.review", "review-list", "Review"),
    ("reports.share", "release-list", "Reports"),
    ("passages.read", "passage-list", "Passages"),
    ("rules.read", "rule-list", "Rules"),
    ("standards.check", "standard-list", "Standards"),
    ("firm.decide", "firm-photos", "Pictures"),
)


def home_of(actor: Actor) -> str:
    """Return the first page of a member: the first section they may open."""
    for capability, name, _ in SECTIONS:
        if actor.can(capability):
            return reverse(name, args=[actor.firm.slug])
    return reverse("home")


def header_row(actor: Actor, path: str) -> HeaderRow:
    """Return the running head for a member, with the section of `path` marked."""
    addresses = [
        (reverse(name, args=[actor.firm.slug]), words)
        for capability, name, words in SECTIONS
        if actor.can(capability)
    ]
    return HeaderRow(
        firm_name=actor.firm.name,
        firm_slug=actor.firm.slug,
        home_url=home_of(actor),
        person=actor.name,
        links=tuple(
            NavLink(words, url, current=path.startswith(url))
            for url, words in addresses
        ),
        sign_out_url=reverse("sign-out"),
    )
