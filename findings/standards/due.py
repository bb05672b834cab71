"""When a report is due: the state's days, an agreed date, the client's own deadline."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cache
from zoneinfo import ZoneInfo

import holidays

from findings.standards.schema import Pack

SATURDAY = 5


@dataclass(frozen=True, slots=True)
class DueLine:
    """One date that the report has to meet, and where it comes from."""

    source: str
    at: datetime
    says: str


@dataclass(frozen=True, slots=True)
class Due:
    """The promise (the earliest line) and every line behind it, earliest first."""

    at: datetime | None
    lines: tuple[DueLine, ...]

    @property
    def source(self) -> str:
        """Return which line decides, empty when nothing does."""
        return self.lines[0].source if self.lines else ""


def due_date(
    pack: Pack,
    completed_at: datetime,
    zone: str,
    agreed: datetime | None = None,
    decide_by: datetime | None = None,
) -> Due:
    """Return when the report is due: the earliest of state, agreed and decide-by.

    All moments carry a zone; the state's days are counted on the property's calendar
    and end with the last minute of the last day.
    """
    for moment in (completed_at, agreed, decide_by):
        if moment is not None and moment.tzinfo is None:
            raise ValueError("A moment without a time zone cannot be counted from.")
    found = [
        _state_line(pack, completed_at.astimezone(ZoneInfo(zone))),
        DueLine("agreed", agreed, "the date in the agreement") if agreed else None,
        DueLine("decide_by", decide_by, "the client's deadline") if decide_by else None,
    ]
    lines = sorted((line for line in found if line), key=lambda line: line.at)
    return Due(lines[0].at if lines else None, tuple(lines))


def legal_date(due: Due, pack: Pack) -> datetime | None:
    """Return the date the law holds to: an agreed one may replace the state's."""
    at = {line.source: line.at for line in due.lines}
    if pack.delivery.unless_agreed and "agreed" in at:
        return at["agreed"]
    return at.get("state")


def _state_line(pack: Pack, local: datetime) -> DueLine | None:
    delivery = pack.delivery
    if delivery.days is None or delivery.counted_from == "payment":
        return None
    if delivery.unit == "business_days":
        day = add_business_days(local.date(), delivery.days, pack.state)
        says = f"{delivery.days} business days after the inspection"
    else:
        day = local.date() + timedelta(days=delivery.days)
        says = f"{delivery.days} days after the inspection"
    return DueLine("state", datetime.combine(day, time(23, 59), local.tzinfo), says)


def add_business_days(day: date, count: int, state: str) -> date:
    """Return the day that many business days after a day, which itself counts zero."""
    while count > 0:
        day += timedelta(days=1)
        if is_business_day(day, state):
            count -= 1
    return day


def is_business_day(day: date, state: str) -> bool:
    """Say whether a day is no weekend and no public holiday of the state."""
    return day.weekday() < SATURDAY and day not in _holidays(state, day.year)


@cache
def _holidays(state: str, year: int) -> frozenset[date]:
    # The pack's law says "business days" and gives no list; the state's public
    # holidays as the holidays library knows them are our reading.
    return frozenset(holidays.country_holidays("US", subdiv=state, years=year))
