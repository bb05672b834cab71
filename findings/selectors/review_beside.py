"""What stands beside a review: like findings of the firm, earlier visits, turns."""

from __future__ import annotations

from collections import Counter

from django.db.models import Q
from django.urls import reverse

from findings.models import Finding
from findings.selectors import objections
from findings.selectors.review_pages import SimilarRow
from findings.wording import sentences
from firm.actor import Actor
from inspections.access import visible_contents
from inspections.models import Visit
from inspections.selectors.rows import FactRow
from inspections.selectors.words import moment, purpose_words

SHOWN = 4
LOOKED_AT = 200
PASSED = [Finding.State.WORDS_CHECKED, Finding.State.SIGNED]


def similar(actor: Actor, finding: Finding) -> tuple[str, tuple[SimilarRow, ...]]:
    """Return how the firm told the like elsewhere: a count by level, the latest few.

    Only findings whose words were passed, of visits that this person may read.
    """
    like = _like(finding)
    if like is None:
        return "", ()
    rows = list(
        Finding.objects.filter(
            like,
            firm=actor.firm,
            state__in=PASSED,
            visit__in=visible_contents(actor).values("pk"),
        )
        .exclude(visit=finding.visit_id)
        .select_related("words", "visit__inspector", "visit__property")
        .order_by("-visit__starts_at", "pk")[:LOOKED_AT]
    )
    return _counted(rows), tuple(_similar(actor, row) for row in rows[:SHOWN])


def _like(finding: Finding) -> Q | None:
    """Say what counts as the like: the same rule, else passage, else item."""
    if finding.rule:
        return Q(rule=finding.rule)
    if finding.passage:
        return Q(passage=finding.passage)
    if finding.item:
        return Q(system=finding.system, item=finding.item)
    return None


def _counted(rows: list[Finding]) -> str:
    if not rows:
        return ""
    levels = Counter(
        f"{sentences.consequence_label(row.consequence)}, "
        f"{sentences.timing_label(row.timing, row.visit.purpose).lower()}"
        for row in rows
    )
    noun = "time" if len(rows) == 1 else "times"
    told = "; ".join(f"{n} × {said}" for said, n in levels.most_common())
    return f"Told {len(rows)} {noun} in other visits: {told}."


def _similar(actor: Actor, row: Finding) -> SimilarRow:
    visit = row.visit
    starts = moment(visit.starts_at, visit.property.time_zone)
    return SimilarRow(
        number=visit.number,
        when=starts.rpartition(",")[0],
        inspector=visit.inspector.name,
        level=sentences.sentence(row.consequence, row.timing, row.trade, visit.purpose),
        seen=objections.words_of(row).seen,
        url=reverse("finding-read", args=[actor.firm.slug, row.pk]),
    )


def earlier_visits(actor: Actor, visit: Visit) -> tuple[FactRow, ...]:
    """Return earlier visits to the same house; their contents stay their clients'."""
    house = visit.property
    rows = (
        visible_contents(actor)
        .filter(
            property__street__iexact=house.street,
            property__city__iexact=house.city,
            property__state=house.state,
            starts_at__lt=visit.starts_at,
        )
        .exclude(pk=visit.pk)
        .exclude(status__in=[Visit.Status.BOOKED, Visit.Status.ABANDONED])
        .select_related("inspector", "property")
        .order_by("-starts_at")[:SHOWN]
    )
    if not actor.can("visits.see_all_contents"):
        return ()
    return tuple(
        FactRow(
            label=f"{row.number}, {purpose_words(row.purpose).lower()}",
            value=f"{moment(row.starts_at, house.time_zone)}, {row.inspector.name}",
            url=reverse("review-read", args=[actor.firm.slug, row.pk]),
        )
        for row in rows
    )
