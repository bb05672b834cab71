"""What lies beside a report: papers from others, an earlier report looked at again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec

from reports.models import Attachment, RecheckItem
from reports.rendering.schema import Finding, Photo
from reports.services.snapshot import photos, words
from reports.services.snapshot.material import HOUSE, Material
from reports.services.told import snapshot_of


def papers(material: Material) -> list[dict[str, Any]]:
    """Return each paper with its digest; nobody here has checked what it says."""
    rows = Attachment.objects.filter(
        firm=material.actor.firm, visit=material.visit
    ).order_by("added_at", "pk")
    return [
        {
            "title": words.line(row.title),
            "file_name": row.file_name,
            "author": words.line(row.author),
            "licence": words.line(row.licence),
            "received_local": words.day(row.added_at, material.zone),
            "size_words": _size(row.size),
            "sha256": row.sha256,
        }
        for row in rows
    ]


def _size(size: int) -> str:
    return f"{max(1, round(size / 1000)):,} KB"


def again(material: Material) -> dict[str, Any]:
    """Return what a re-check adds: items with before and after, and which report.

    Photos of before come from the earlier report as it was released.
    """
    if not material.rechecks:
        return {}
    earlier = material.rechecks[0].earlier
    whole = snapshot_of(earlier)
    known = {one.id: one for one in whole.findings}
    items = [_item(material, item, known) for item in material.rechecks]
    return {
        "rechecked": items,
        "earlier": {
            "number": earlier.number,
            "issue": earlier.issue,
            "issued_local": whole.issued_local,
            "sha256": earlier.snapshot_sha256,
        },
        "before": [
            _photo(photo)
            for photo in whole.photos
            if any(photo.id in item["before"] for item in items)
        ],
    }


def _item(
    material: Material, item: RecheckItem, known: Mapping[str, Finding]
) -> dict[str, Any]:
    found = known[item.finding]
    shown = photos.ids(material)
    return {
        "number": item.number,
        "item": found.item or found.system,
        "place": found.place,
        "was": found.words.seen,
        "outcome": RecheckItem.Outcome(item.outcome).label if item.outcome else "Open",
        "words": item.words,
        "before": list(found.photos),
        "after": [
            picture.id
            for picture in material.pictures
            if picture.record.get("about") == str(item.pk) and picture.id in shown
        ],
    }


def _photo(photo: Photo) -> dict[str, Any]:
    """Return an earlier photo as this report shows it: at the house, from then."""
    plain: dict[str, Any] = msgspec.to_builtins(photo)
    return plain | {"place": HOUSE}
