"""The head of every page of one visit, with the sections its reader may open."""

from __future__ import annotations

from typing import Final

from django.urls import reverse

from firm.actor import Actor
from firm.selectors.header import NavLink
from inspections.access import may_see_contents
from inspections.models import Visit
from inspections.selectors.rows import VisitHead
from inspections.selectors.words import purpose_words

# url name, words, who: a capability, or "contents" for those who may read them.
SECTIONS: Final = (
    ("booking-read", "Booking", "visits.book"),
    ("visit-asks", "State rules", "visits.see_asks"),
    ("visit-read", "Walk", "contents"),
    ("recheck-read", "Re-check", "recheck"),
    ("review-read", "Review", "words.review"),
    ("visit-sign", "Sign", "visits.sign"),
    ("release-read", "Report", "reports.share"),
)


def visit_head(actor: Actor, visit: Visit, current: str, saved: str = "") -> VisitHead:
    """Return the head of a visit's page; `current` is the page's own url name."""
    house = visit.property
    return VisitHead(
        visit_id=str(visit.pk),
        address=house.street,
        town=f"{house.city}, {house.state} {house.postcode}".strip(),
        purpose=purpose_words(visit.purpose),
        zone=house.time_zone,
        starts_at=visit.starts_at,
        url=reverse(current, args=[actor.firm.slug, visit.pk]),
        sections=_sections(actor, visit, current),
        saved=saved,
    )


def _sections(actor: Actor, visit: Visit, current: str) -> tuple[NavLink, ...]:
    return tuple(
        NavLink(
            words,
            reverse(name, args=[actor.firm.slug, visit.pk]),
            current=name == current,
        )
        for name, words, who in SECTIONS
        if _may(actor, visit, who)
    )


def _may(actor: Actor, visit: Visit, who: str) -> bool:
    if who == "recheck":
        return visit.purpose == "re_check"
    if who == "contents":
        return may_see_contents(actor, visit)
    if who == "visits.sign":
        return visit.inspector_id == getattr(actor.membership, "pk", None)
    return actor.can(who)
