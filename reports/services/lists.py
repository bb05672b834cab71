"""A client's own list for their agent: lines added, moved, struck."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from django.db import transaction
from django.http import Http404

from firm.errors import BadInput, Refusal
from reports.models import ListLine, Release, ShareLink
from reports.rendering.cut import Line
from reports.services.told import snapshot_of

LONGEST: Final = 100


class ListFull(Refusal):
    """Nobody reads a list that long."""

    code = "list-full"


def lines_of(link: ShareLink) -> list[ListLine]:
    return list(
        ListLine.objects.filter(
            visit_id=link.visit_id, contact_id=link.contact_id
        ).order_by("position")
    )


def as_lines(rows: list[ListLine]) -> list[Line]:
    return [Line(row.words, row.finding) for row in rows]


@transaction.atomic
def add(
    *, link: ShareLink, release: Release, words: str, number: int | None, now: datetime
) -> ListLine:
    """Put one more line on the list: the client's words, a finding, or both."""
    # The link's lock keeps two taps from taking the same place on the list.
    ShareLink.objects.select_for_update().get(pk=link.pk)
    rows = lines_of(link)
    if len(rows) >= LONGEST:
        raise ListFull(f"The list holds {LONGEST} lines. Strike one out first.")
    said = words.strip()
    if not said:
        raise BadInput("Say in your own words what you want.", field="words")
    finding = ""
    if number is not None:
        found = [one for one in snapshot_of(release).findings if one.number == number]
        if not found:
            raise BadInput(f"The report has no finding {number}.", field="number")
        finding = found[0].id
    return ListLine.objects.create(
        firm_id=link.firm_id,
        visit_id=link.visit_id,
        contact_id=link.contact_id,
        position=rows[-1].position + 1 if rows else 1,
        finding=finding,
        words=said,
        made_at=now,
    )


@transaction.atomic
def strike(*, link: ShareLink, position: int) -> None:
    """Take a line off; the list is the client's own."""
    gone, _ = ListLine.objects.filter(
        visit_id=link.visit_id, contact_id=link.contact_id, position=position
    ).delete()
    if not gone:
        raise Http404
