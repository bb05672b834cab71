"""What lies beside a report: papers that others supplied."""

from __future__ import annotations

from typing import Any

from reports.models import Attachment
from reports.services.snapshot import words
from reports.services.snapshot.material import Material


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
