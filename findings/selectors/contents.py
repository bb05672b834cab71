"""One digest of everything a report of the visit would rest on."""

from __future__ import annotations

from findings.models import Finding
from firm import canonical
from firm.actor import Actor
from inspections.models import Visit


def content_digest(actor: Actor, visit: Visit) -> str:
    """Return the SHA-256 of the findings' substance, words, photos and log version.

    Two people who saw the same digest saw the same contents.
    """
    rows = (
        Finding.objects.filter(firm=actor.firm, visit=visit)
        .exclude(state=Finding.State.WITHDRAWN)
        .select_related("words")
        .order_by("source_key")
    )
    return canonical.digest(
        {
            "visit": str(visit.pk),
            "log_version": Visit.objects.values_list("version", flat=True).get(
                pk=visit.pk
            ),
            "findings": [
                {
                    "source": row.source_key,
                    "places": row.places,
                    "levels": [row.consequence, row.timing, row.trade],
                    "age_note": row.age_note,
                    "words": row.words.number if row.words else 0,
                    "photos": [str(photo) for photo in row.photos],
                }
                for row in rows
            ],
        }
    )
