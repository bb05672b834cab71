"""How the firm reviews: its policy, who covers for whom, how long it takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse

from findings.models import ReviewCover
from findings.selectors.often_changed import OftenRow, often_changed
from findings.selectors.review_policy import Policy, policy_of
from findings.selectors.sittings import TARGET_S, Times, said, times
from findings.selectors.turns import covers_to_come, readers
from findings.wording import sentences
from firm.actor import Actor
from firm.models import Membership

Pairs = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class CoverRow:
    """Somebody is away, and who reads for them."""

    words: str
    because: str
    end_url: str


@dataclass(frozen=True, slots=True)
class HowPage:
    """The page "How we review"; `policy_url` is empty for those who only read it."""

    policy: Policy
    said: tuple[str, ...]
    levels: Pairs
    inspectors: Pairs
    readers: Pairs
    covers: tuple[CoverRow, ...]
    times: Times
    target: str
    often: tuple[OftenRow, ...]
    policy_url: str
    cover_url: str
    list_url: str


def how_page(actor: Actor, now: datetime) -> HowPage:
    """Return the page; queries do not grow with visits or people."""
    policy = policy_of(actor)
    people = inspectors(actor)
    slug = actor.firm.slug
    return HowPage(
        policy=policy,
        said=tuple(_policy_words(policy, people)),
        levels=level_choices(),
        inspectors=tuple((str(one.pk), one.name) for one in people),
        readers=tuple((str(one.pk), one.name) for one in readers(actor)),
        covers=tuple(_cover(slug, row) for row in covers_to_come(actor, now)),
        times=times(actor),
        target=said(TARGET_S),
        often=often_changed(actor),
        policy_url=reverse("review-policy", args=[slug])
        if actor.can("review.decide")
        else "",
        cover_url=reverse("cover-set", args=[slug]),
        list_url=reverse("review-list", args=[slug]),
    )


def level_choices() -> Pairs:
    return tuple((one.key, one.label) for one in sentences.consequence_choices())


def inspectors(actor: Actor) -> list[Membership]:
    """Return who inspects or learns to, by name."""
    rows = Membership.objects.filter(firm=actor.firm, disabled_at__isnull=True)
    wanted = {"INSPECTOR", "TRAINEE"}
    return [row for row in rows.order_by("name") if wanted & set(row.roles)]


def _policy_words(policy: Policy, people: list[Membership]) -> Iterator[str]:
    if not policy.library_passes:
        yield "A person reads every finding before a report leaves."
        return
    yield (
        "The library's own words, unchanged and without remarks, pass unread. "
        "The report says how many did."
    )
    levels = dict(level_choices())
    if read := [f"“{levels[key]}”" for key in policy.levels if key in levels]:
        yield f"Always read: {', '.join(read)}."
    names = [one.name for one in people if str(one.pk) in policy.inspectors]
    if names:
        yield f"Everything is read of {', '.join(names)}."
    yield f"Of a hundred that could pass, {policy.share} are read as a sample."
    yield "Hand-written findings, changed words and changed levels are always read."


def _cover(slug: str, row: ReviewCover) -> CoverRow:
    first, last = (
        f"{day:%A} {day.day} {day:%B %Y}" for day in (row.first_day, row.last_day)
    )
    days = f"on {first}" if first == last else f"from {first} to {last}"
    return CoverRow(
        words=f"{row.away.name} is away {days}; {row.by.name} covers.",
        because=row.because,
        end_url=reverse("cover-end", args=[slug, row.pk]),
    )
