"""Freezing an urgent notice from a hazard as it was recorded, and making its PDF."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from firm import audit, jobs, storage
from firm.actor import Actor
from firm.errors import BadInput, NotAllowed, Refusal
from firm.models import Licence
from firm.tenancy import bound
from inspections.models import Visit
from inspections.selectors.folded import folded
from reports.models import UrgentFile, UrgentNotice
from reports.rendering import canonical, child, notice_schema
from reports.selectors.pictures import Picture, pictures
from reports.services.snapshot import words

TASK = "reports.make_notice"
HOW: Final = {
    "in_person": "in person",
    "by_phone": "by phone",
    "by_message": "by message",
    "note_left": "by a note left there",
}
Record = Mapping[str, Any]


class UnableToFreeze(Refusal):
    """The hazard's record does not say yet what the notice has to say."""

    code = "unable-to-freeze"


@dataclass(frozen=True, slots=True)
class Correction:
    """Which notice is corrected, and why."""

    notice: UrgentNotice
    reason: str


@transaction.atomic
def freeze(
    *,
    actor: Actor,
    visit: Visit,
    record: UUID,
    now: datetime,
    correction: Correction | None = None,
) -> UrgentNotice:
    """Freeze a hazard as it stands recorded. Raises UnableToFreeze, BadInput.

    A second notice of the same hazard has to name the one it corrects: nothing that
    was told is ever replaced in silence.
    """
    visit = _locked(actor, visit)
    records, _ = folded(actor, visit)
    hazard = _ready(records, record)
    earlier = _corrected(visit, record, correction)
    number = visit.urgent_notices.count() + 1
    contents = canonical.encode(
        _contents(actor, visit, records, hazard, number, now, earlier)
    )
    row = UrgentNotice.objects.create(
        firm=actor.firm,
        visit=visit,
        number=number,
        record=record,
        contents=contents,
        contents_sha256=canonical.digest(contents),
        frozen_by_id=actor.member_id,
        frozen_at=now,
        replaces=earlier.notice if earlier else None,
        reason=earlier.reason.strip() if earlier else "",
    )
    jobs.enqueue(actor=actor, task=TASK, key=str(row.pk), notice_id=str(row.pk))
    audit.record(
        actor=actor,
        event="urgent_notice.frozen",
        subject=f"visit:{visit.pk}",
        detail={"number": number, "contents_sha256": row.contents_sha256},
    )
    return row


def _locked(actor: Actor, visit: Visit) -> Visit:
    own: Visit = (
        Visit.objects.select_for_update(of=("self",))
        .select_related("property", "inspector")
        .get(pk=visit.pk)
    )
    if own.inspector_id != actor.member_id and not actor.can("words.review"):
        raise NotAllowed("The visit's inspector or a reviewer freezes a notice.")
    return own


def _ready(records: Mapping[str, Record], record: UUID) -> Record:
    hazard = records.get(str(record))
    if hazard is None or hazard["kind"] != "hazard":
        raise BadInput("This visit has no such hazard.", field="record")
    missing = [
        said
        for field, said in (
            ("what", "Write what could hurt somebody."),
            ("told", "Write who was told, or that nobody could be reached."),
        )
        if not str(hazard.get(field) or "").strip()
    ]
    if missing:
        raise UnableToFreeze("The hazard's record is not ready.", details=missing)
    return hazard


def _corrected(
    visit: Visit, record: UUID, correction: Correction | None
) -> Correction | None:
    latest = visit.urgent_notices.filter(record=record).order_by("-number").first()
    if latest is None:
        return None
    if correction is None or correction.notice.pk != latest.pk:
        raise UnableToFreeze("There is a newer notice of this already. Look again.")
    if not correction.reason.strip():
        raise BadInput("Say what the correction changes and why.", field="reason")
    return correction


def _contents(
    actor: Actor,
    visit: Visit,
    records: Mapping[str, Record],
    hazard: Record,
    number: int,
    now: datetime,
    earlier: Correction | None,
) -> dict[str, Any]:
    zone = ZoneInfo(visit.property.time_zone)
    key = next(key for key, one in records.items() if one is hazard)
    shown = [
        one
        for one in pictures(actor, visit, records)
        if one.record.get("about") == key and one.printable
    ]
    arrived = [one for one in shown if one.stored and one.copied]
    stop = records.get(str(hazard.get("stop") or ""), {})
    plain: dict[str, Any] = {
        "kind": "urgent_notice",
        "schema": 1,
        "language": "en-US",
        "number": f"{visit.number}/U{number}",
        "visit": visit.number,
        "record": key,
        **_people_and_house(actor, visit, zone),
        **_told(hazard, stop, zone),
        "photos": [_picture(one, zone, stop) for one in arrived],
        "not_arrived": len(shown) - len(arrived),
        "frozen_at": words.instant(now),
        "frozen_local": words.day_and_clock(now, zone),
        "frozen_by": words.line(actor.name),
        "replaces": _before(earlier, zone),
    }
    notice_schema.checked(plain)
    return plain


def _told(hazard: Record, stop: Record, zone: ZoneInfo) -> dict[str, str]:
    """Return what it is, who was told of it, how and when, and what was left off."""
    told_at = words.moment(hazard.get("told_at"))
    return {
        "what": words.sentence(str(hazard["what"])),
        "where": words.line(stop.get("name") or ""),
        "told": words.line(hazard["told"]),
        "told_how": HOW.get(str(hazard.get("told_how")), ""),
        "told_local": words.day_and_clock(told_at, zone) if told_at else "",
        "left_off": words.line(hazard.get("left_off") or ""),
    }


def _people_and_house(actor: Actor, visit: Visit, zone: ZoneInfo) -> dict[str, Any]:
    firm, house = actor.firm, visit.property
    lines = [part.strip() for part in firm.address.splitlines() if part.strip()]
    on = visit.starts_at.astimezone(zone).date()
    held = Licence.objects.filter(
        firm=firm,
        membership=visit.inspector_id,
        state=house.state,
        valid_from__lte=on,
        expires_on__gte=on,
    ).first()
    return {
        "firm": {
            "name": words.line(firm.name),
            "address_lines": [words.line(part) for part in lines] or [firm.name],
            "phone": firm.phone,
            "email": firm.email,
        },
        "address_lines": [
            words.line(house.street),
            words.line(f"{house.city}, {house.state} {house.postcode}".strip()),
        ],
        "visited_local": words.day(visit.starts_at, zone),
        "inspector": words.line(visit.inspector.name),
        "licence": f"{held.state} {held.number}" if held else "",
    }


def _picture(picture: Picture, zone: ZoneInfo, stop: Record) -> dict[str, Any]:
    taken = words.moment(picture.record.get("taken_at"))
    said = str(picture.record.get("caption") or "").strip()
    place = str(stop.get("name") or "The house")
    return {
        "id": picture.id,
        "original_sha256": picture.file.sha256 if picture.file else "",
        "caption": words.sentence(said or f"{place}: what could hurt somebody"),
        "taken_local": words.day_and_clock(taken, zone) if taken else "",
        "renditions": {
            size: {"sha256": one.sha256, "width": one.width, "height": one.height}
            for size, one in picture.copies.items()
        },
    }


def _before(earlier: Correction | None, zone: ZoneInfo) -> dict[str, str] | None:
    if earlier is None:
        return None
    told = notice_schema.from_bytes(bytes(earlier.notice.contents))
    return {
        "number": told.number,
        "frozen_local": words.day_and_clock(earlier.notice.frozen_at, zone),
        "reason": words.line(earlier.reason),
    }


def make_file(*, actor: Actor, notice_id: str) -> None:
    """Make the notice's PDF from its frozen contents; safe to repeat."""
    with bound(actor.firm.pk):
        row = UrgentNotice.objects.get(pk=notice_id)
        if row.files.exists():
            return
        contents = bytes(row.contents)
    told = notice_schema.from_bytes(contents)
    assets = {
        copy.sha256: storage.get(f"firm/{actor.firm.pk}/rendition/{copy.sha256}.jpg")
        for copy in (photo.renditions.print for photo in told.photos)
    }
    paper = getattr(settings, "FIRM_PAPER", "letter")
    content = child.render_notice(contents, assets, paper=paper)
    digest = storage.sha256(content)
    storage.put(f"firm/{actor.firm.pk}/artefact/{digest}", content)
    with bound(actor.firm.pk):
        UrgentFile.objects.get_or_create(
            firm=actor.firm,
            notice_id=UUID(notice_id),
            defaults={
                "sha256": digest,
                "size": len(content),
                "made_at": timezone.now(),
            },
        )
