"""A visit's urgent notices: those frozen, and hazards that have none yet."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from firm.actor import Actor
from inspections.models import Visit
from inspections.selectors.folded import folded
from inspections.selectors.heads import visit_head
from inspections.selectors.rows import VisitHead
from inspections.selectors.words import moment
from reports.models import UrgentFile, UrgentNotice
from reports.rendering import notice_schema
from reports.rendering.notice_schema import Notice


@dataclass(frozen=True, slots=True)
class HazardRow:
    """A hazard as it stands in the log, with where its notice is frozen."""

    record: str
    what: str
    told: str
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NoticeRow:
    """A frozen notice in the visit's history."""

    number: str
    what: str
    when: str
    by: str
    reason: str
    superseded: bool
    url: str
    pdf_url: str


@dataclass(frozen=True, slots=True)
class UrgentListPage:
    head: VisitHead
    waiting: tuple[HazardRow, ...]
    notices: tuple[NoticeRow, ...]
    freeze_url: str


@dataclass(frozen=True, slots=True)
class ShownPicture:
    caption: str
    taken: str
    url: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class UrgentPage:
    """One frozen notice; only the frozen contents are shown."""

    head: VisitHead
    notice: Notice
    digest: str
    pictures: tuple[ShownPicture, ...]
    pdf_url: str
    superseded_by: str
    correct_url: str
    record: str
    list_url: str


def list_page(actor: Actor, visit: Visit) -> UrgentListPage:
    """Return the page; queries do not grow with the notices."""
    records, _ = folded(actor, visit)
    rows = list(
        UrgentNotice.objects.filter(firm=actor.firm, visit=visit)
        .select_related("frozen_by")
        .order_by("number")
    )
    told = {str(row.record) for row in rows}
    return UrgentListPage(
        head=visit_head(actor, visit, "urgent-list"),
        waiting=tuple(
            HazardRow(
                record=key,
                what=str(one.get("what") or "Nothing is written yet"),
                told=str(one.get("told") or ""),
                missing=tuple(_missing(one)),
            )
            for key, one in records.items()
            if one["kind"] == "hazard" and key not in told
        ),
        notices=tuple(_rows(actor, visit, rows)),
        freeze_url=_address(actor, "urgent-freeze", visit)
        if may_freeze(actor, visit)
        else "",
    )


def _missing(record: object) -> list[str]:
    held = dict(record)  # type: ignore[call-overload]
    wanted = {"what": "what could hurt somebody", "told": "who was told"}
    return [said for field, said in wanted.items() if not held.get(field)]


def may_freeze(actor: Actor, visit: Visit) -> bool:
    """Say whether this person freezes notices of the visit."""
    own = actor.membership is not None and visit.inspector_id == actor.membership.pk
    return own or actor.can("words.review")


def _rows(actor: Actor, visit: Visit, rows: list[UrgentNotice]) -> list[NoticeRow]:
    made = set(
        UrgentFile.objects.filter(firm=actor.firm, notice__in=rows).values_list(
            "notice_id", flat=True
        )
    )
    replaced = {row.replaces_id for row in rows}
    found = []
    for row in rows:
        told = notice_schema.from_bytes(bytes(row.contents))
        found.append(
            NoticeRow(
                number=told.number,
                what=told.what,
                when=moment(row.frozen_at, visit.property.time_zone),
                by=row.frozen_by.name,
                reason=row.reason,
                superseded=row.pk in replaced,
                url=_address(actor, "urgent-read", row),
                pdf_url=_address(actor, "urgent-pdf", row) if row.pk in made else "",
            )
        )
    return found


def notice_page(actor: Actor, row: UrgentNotice) -> UrgentPage:
    """Return one notice as it was frozen."""
    told = notice_schema.from_bytes(bytes(row.contents))
    after = UrgentNotice.objects.filter(firm=actor.firm, replaces=row).first()
    may = after is None and may_freeze(actor, row.visit)
    made = row.files.exists()
    return UrgentPage(
        head=visit_head(actor, row.visit, "urgent-list"),
        notice=told,
        digest=row.contents_sha256,
        pictures=tuple(
            ShownPicture(
                caption=photo.caption,
                taken=photo.taken_local,
                url=reverse(
                    "urgent-photo",
                    args=[actor.firm.slug, row.pk, photo.renditions.large.sha256],
                ),
                width=photo.renditions.large.width,
                height=photo.renditions.large.height,
            )
            for photo in told.photos
        ),
        pdf_url=_address(actor, "urgent-pdf", row) if made else "",
        superseded_by=_address(actor, "urgent-read", after) if after else "",
        correct_url=_address(actor, "urgent-freeze", row.visit) if may else "",
        record=str(row.record),
        list_url=_address(actor, "urgent-list", row.visit),
    )


def _address(actor: Actor, name: str, row: Visit | UrgentNotice) -> str:
    return reverse(name, args=[actor.firm.slug, row.pk])
