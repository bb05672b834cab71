"""Before leaving a stop, and before driving off: what is open, what still runs."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Final
from uuid import UUID

from findings.selectors.field import offers
from findings.selectors.field.ground import Ground, Record
from findings.selectors.field.rows import CloseRow, LeaveStopPage, LeaveVisitPage
from findings.selectors.field.said import entry_url
from findings.selectors.field.stop import next_stop, open_row
from findings.selectors.field.walk import held_apart, name_of, runner_rows
from findings.selectors.review_photos import photo_rows
from findings.standards.coverage import closing_words
from findings.standards.ledger import closable
from inspections.access import may_record
from inspections.models import Visit
from inspections.selectors.rows import FactRow, OpenLine, PhotoRow

MOMENTS_S: Final = 60  # shorter than this, a stop asks why that was enough
Status = Visit.Status
BEFORE_SIGNING: Final = {Status.UNDER_WAY, Status.HANDED_IN, Status.WORDS_CHECKED}


def leave_stop_page(
    base: Ground,
    stop_id: UUID,
    now: datetime,
    opened: str = "",
    struck: Iterable[str] = (),
) -> LeaveStopPage:
    """Return what is open at a stop and what it closes with.

    `opened` is when its page was first shown, for a stop that has not said so itself.
    """
    key, stop = str(stop_id), base.of("stop", stop_id)
    began = moment_opened(stop, opened)
    following = next_stop(base, key)
    chosen = set(struck) or set(stop.get("closed_struck") or ())
    closes = close_rows(base, key, chosen)
    ours = {row.duty for row in closes}
    rest = [line for line in base.seen.ledger.open(key) if line.duty not in ours]
    return LeaveStopPage(
        head=base.head,
        stop_name=name_of(stop),
        stop_url=base.url("stop-read", key),
        close_url=base.url("stop-close", key),
        open_lines=(
            *_unanswered(base, key),
            *(open_row(base, line) for line in rest),
        ),
        closes=closes,
        minutes=_minutes_words(base, stop, began, now),
        ask_reason=asks_reason(stop, began, now),
        next_url=base.url("stop-read", following[0]) if following else "",
        next_name=name_of(following[1]) if following else "",
        shown=base.shown,
    )


def close_rows(base: Ground, stop: str, struck: set[str]) -> tuple[CloseRow, ...]:
    """Return the duties that "looked at everything here" closes at this stop."""
    seen = base.seen
    open_here = {
        row.duty
        for row in seen.ledger.rows
        if row.state == "open" or (row.together and row.state == "looked")
    }
    return tuple(
        CloseRow(duty.id, closing_words(duty), duty.id in struck)
        for duty in closable(seen.pack, seen.records, stop, seen.scope)
        if duty.id in open_here
    )


def moment_opened(stop: Record, opened: str) -> datetime | None:
    """Return when the stop was opened, as recorded, or as its page was first shown."""
    for text in (stop.get("opened_at"), opened):
        try:
            return datetime.fromisoformat(str(text))
        except ValueError:
            continue
    return None


def minutes_here(began: datetime | None, now: datetime) -> int | None:
    """Return the whole minutes since the stop was opened; None when nobody knows."""
    return None if began is None else max(0, int((now - began).total_seconds() // 60))


def asks_reason(stop: Record, began: datetime | None, now: datetime) -> bool:
    """Say whether the stop was opened only moments ago."""
    if began is None or stop.get("closed_at"):
        return False
    return (now - began).total_seconds() < MOMENTS_S


def leave_visit_page(base: Ground) -> LeaveVisitPage:
    """Return what is left before driving off, short because stops asked already."""
    lines = base.seen.ledger.open()
    feet = [open_row(base, line) for line in lines if line.needs_feet]
    desk = [open_row(base, line) for line in lines if not line.needs_feet]
    every = [one for key, _ in base.stops() for one in _unanswered(base, key)]
    # One proposal may speak of several stops; it is asked once.
    answers = list({one.text: one for one in reversed(every)}.values())[::-1]
    apart = [
        OpenLine(f"Two devices differ: {row.label}", row.url)
        for row in held_apart(base)
    ]
    own = may_record(base.actor, base.visit)
    return LeaveVisitPage(
        head=base.head,
        needs_feet=(*_not_closed(base), *feet),
        at_desk=(*answers, *apart, *desk),
        runners=runner_rows(base),
        not_put_back=_not_put_back(base),
        loose_photos=loose_photos(base),
        hand_in_url=base.url("visit-hand-in")
        if own and base.visit.status in BEFORE_SIGNING
        else "",
        sign_url=base.url("visit-sign")
        if own and base.visit.status in {Status.HANDED_IN, Status.WORDS_CHECKED}
        else "",
        can_hand_in=not answers and not apart,
    )


def loose_photos(base: Ground) -> tuple[PhotoRow, ...]:
    """Return the pictures that show no record, those kept for oneself left out."""
    rows = photo_rows(base.actor, base.visit, base.records)
    return tuple(
        row
        for key, row in rows.items()
        if not base.records[key].get("about")
        and base.records[key].get("use") != "for_me"
    )


def _unanswered(base: Ground, stop: str) -> list[OpenLine]:
    address = f"{base.url('stop-read', stop)}#means"
    return [
        OpenLine(
            f"No answer yet: {one.title}{_at(one.places)}", address, needs_feet=False
        )
        for one in offers.waiting(base, offers.at_stop(base, stop))
        if one.consequence
    ]


def _at(places: list[str]) -> str:
    return f" ({', '.join(places)})" if places else ""


def _not_closed(base: Ground) -> list[OpenLine]:
    return [
        OpenLine(f"{name_of(stop)} is not closed.", base.url("stop-leave", key))
        for key, stop in base.stops()
        if not stop.get("closed_at")
    ]


def _not_put_back(base: Ground) -> tuple[FactRow, ...]:
    return tuple(
        FactRow(
            str(record.get("what") or "Something"),
            f"found {record.get('found') or 'otherwise'}, "
            f"now {record.get('left') or 'not said'}",
            url=entry_url(base, key),
        )
        for key, record in base.seen.of_kind("as_left")
        if not record.get("put_back")
    )


def _minutes_words(
    base: Ground, stop: Record, began: datetime | None, now: datetime
) -> str:
    if stop.get("closed_at"):
        return f"It was closed at {base.clock(stop['closed_at'])} before."
    minutes = minutes_here(began, now)
    if minutes is None:
        return ""
    lasted = {0: "less than a minute", 1: "a minute"}.get(minutes, f"{minutes} minutes")
    return f"You have been here for {lasted}."
