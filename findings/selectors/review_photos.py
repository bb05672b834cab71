"""Photos of a visit as the reviewer sees them, with what of them has arrived."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from django.urls import reverse

from findings.models import PhotoPreview, Rendition
from findings.selectors.review_words import clock
from firm.actor import Actor
from inspections.models import PhotoFile, Visit
from inspections.selectors.rows import PhotoRow

PREVIEW = "preview"  # beside the sizes of the copies
USES = {
    "shows_it": "Shows it",
    "plate": "Data plate",
    "for_me": "For the firm, never printed",
}


def photo_rows(
    actor: Actor, visit: Visit, records: Mapping[str, Mapping[str, Any]]
) -> dict[str, PhotoRow]:
    """Return every photo by id, in the order taken; three queries."""
    files = PhotoFile.objects.filter(firm=actor.firm, visit=visit).in_bulk()
    held = {str(key): file for key, file in files.items()}
    thumbs = Rendition.objects.filter(
        firm=actor.firm, photo__visit=visit, size=Rendition.Size.THUMB
    )
    copied = {str(key) for key in thumbs.values_list("photo_id", flat=True)}
    previews = PhotoPreview.objects.filter(firm=actor.firm, visit=visit)
    shown = {str(key) for key in previews.values_list("pk", flat=True)}
    photos = [(key, r) for key, r in records.items() if r["kind"] == "photo"]
    drawn = {
        str(r.get("photo"))
        for r in records.values()
        if r["kind"] == "mark" and r.get("shape") != "blur"
    }
    return {
        key: _with_copies(
            actor,
            _row(visit, key, record, _where(records, record), held.get(key)),
            copied=key in copied,
            drawn=key in drawn,
            previewed=key in shown,
        )
        for key, record in sorted(photos, key=lambda p: (_taken(p[1]), p[0]))
    }


def loose(rows: Mapping[str, PhotoRow], tied: Iterable[object]) -> tuple[PhotoRow, ...]:
    """Return the photos that no finding shows."""
    shown = {str(one) for one in tied}
    return tuple(row for key, row in rows.items() if key not in shown)


def _with_copies(
    actor: Actor, row: PhotoRow, *, copied: bool, previewed: bool, drawn: bool
) -> PhotoRow:
    """Add the addresses of copies, else of the phone's preview, and say which it is."""

    def address(size: str) -> str:
        return reverse("photo-read", args=[actor.firm.slug, row.photo_id, size])

    if copied:
        plain = f"{address('large')}?marks=off" if drawn else ""
        return replace(
            row,
            thumb_url=address("thumb"),
            large_url=address("large"),
            plain_url=plain,
        )
    state = row.state or "The picture is being prepared."
    if not previewed:
        return replace(row, state=state)
    return replace(
        row, thumb_url=address(PREVIEW), state=f"Preview from the phone. {state}"
    )


def with_notes(rows: Mapping[str, PhotoRow], note_url: str) -> dict[str, PhotoRow]:
    """Add where a note is put on each; `note_url` is the page that has the form."""
    return {
        key: replace(row, note_url=f"{note_url}?about=photo:{key}#put-note")
        if note_url
        else row
        for key, row in rows.items()
    }


def _row(
    visit: Visit,
    key: str,
    record: Mapping[str, Any],
    where: str,
    file: PhotoFile | None,
) -> PhotoRow:
    caption = str(record.get("caption") or "").strip()
    return PhotoRow(
        photo_id=key,
        thumb_url="",
        large_url="",
        words=caption or f"Picture at {where}",
        use=USES.get(str(record.get("use")), ""),
        taken=_when(record, visit.property.time_zone),
        state=_state(file),
    )


def _state(file: PhotoFile | None) -> str:
    if file is None:
        return "The picture itself has not arrived."
    if file.state == PhotoFile.State.DROPPED:
        return "The picture's upload was ended by the device."
    if file.state == PhotoFile.State.RECEIVING:
        return (
            f"The picture itself has not arrived: {file.offset} of {file.size} bytes"
            " are here."
        )
    return f"No copy can be made: {file.trouble}" if file.trouble else ""


def _where(records: Mapping[str, Mapping[str, Any]], record: Mapping[str, Any]) -> str:
    stop = records.get(str(record.get("stop") or ""), {})
    return str(stop.get("name") or "the house")


def _taken(record: Mapping[str, Any]) -> str:
    return str(record.get("taken_at") or "")


def _when(record: Mapping[str, Any], zone: str) -> str:
    """Say the clock time; the day is the visit's."""
    try:
        taken = datetime.fromisoformat(_taken(record))
    except ValueError:
        return ""
    return clock(taken, zone) if taken.tzinfo else ""
