"""When a report is due: the state's days, an agreed date, the client's own deadline."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cache
from zoneinfo import ZoneInfo

import holidays

from findings.standards.schema_asks import Asks, Delivery

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
    pack: Asks,
    completed_at: datetime,
    zone: str,
    agreed: datetime | None = None,
    decide_by: datetime | None = None,
    paid_at: datetime | None = None,
) -> Due:
    """Return when the report is due: the earliest of state, agreed and decide-by.

    All moments carry a zone; the state's days are counted on the property's calendar
    and end with the last minute of the last day. Where the state counts from payment,
    there is no date of the state's until payment is recorded.
    """
    for moment in (completed_at, agreed, decide_by, paid_at):
        if moment is not None and moment.tzinfo is None:
            raise ValueError("A moment without a time zone cannot be counted from.")
    found = [
        _state_line(pack, completed_at, paid_at, ZoneInfo(zone)),
        DueLine("agreed", agreed, "the date in the agreement") if agreed else None,
        DueLine("decide_by", decide_by, "the client's deadline") if decide_by else None,
    ]
    lines = sorted((line for line in found if line), key=lambda line: line.at)
    return Due(lines[0].at if lines else None, tuple(lines))


def delivery_words(pack: Asks) -> str:
    """Say in how many days the report comes, as an agreement says it."""
    delivery = pack.delivery
    if delivery is None or delivery.days is None:
        return "on the day agreed here"
    unit = "business days" if delivery.unit == "business_days" else "days"
    after = "the visit"
    if delivery.counted_from == "payment":
        after = "payment in full, or of the visit if it was paid before"
    return f"within {_spelled(delivery.days)} {unit} of {after}"


def _spelled(count: int) -> str:
    words = ("no", "one", "two", "three", "four", "five", "six", "seven")
    return words[count] if count < len(words) else str(count)


def legal_date(due: Due, pack: Asks) -> datetime | None:
    """Return the date the law holds to: an agreed one may replace the state's."""
    at = {line.source: line.at for line in due.lines}
    if pack.delivery and pack.delivery.unless_agreed and "agreed" in at:
        return at["agreed"]
    return at.get("state")


def waits_for_payment(pack: Asks, paid_at: datetime | None) -> bool:
    """Say whether the state's days begin only when the fee has been paid."""
    delivery = pack.delivery
    counts = delivery is not None and delivery.counted_from == "payment"
    return counts and paid_at is None


def _state_line(
    pack: Asks, completed: datetime, paid: datetime | None, zone: ZoneInfo
) -> DueLine | None:
    delivery = pack.delivery
    if delivery is None or delivery.days is None or waits_for_payment(pack, paid):
        return None
    begun, said = _counted_from(delivery, completed, paid)
    local = begun.astimezone(zone)
    if delivery.unit == "business_days":
        day = add_business_days(local.date(), delivery.days, pack.state)
        says = f"{delivery.days} business days after {said}"
    else:
        day = local.date() + timedelta(days=delivery.days)
        says = f"{delivery.days} days after {said}"
    return DueLine("state", datetime.combine(day, time(23, 59), zone), says)


def _counted_from(
    delivery: Delivery, completed: datetime, paid: datetime | None
) -> tuple[datetime, str]:
    if delivery.counted_from != "payment" or paid is None:
        return completed, "the inspection"
    if paid > completed:
        return paid, "payment in full"
    return completed, "the inspection, paid before"


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
