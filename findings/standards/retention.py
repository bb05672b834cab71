"""Until when a visit's records are kept: the state's years, and any hold."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from findings.standards.schema_asks import Asks

LEAP_DAY = (2, 29)


@dataclass(frozen=True, slots=True)
class Hold:
    """A dispute over a visit: nothing goes while it is open."""

    placed_on: date
    ended_on: date | None = None


@dataclass(frozen=True, slots=True)
class Kept:
    """Until which day records are kept; no day: for good, because."""

    until: date | None
    because: str


def kept(
    asks: Asks,
    *,
    inspected_on: date,
    delivered_on: date | None,
    holds: Sequence[Hold] = (),
) -> Kept:
    """Return until when the records of a visit have to be kept.

    An open hold keeps them for good. A closed one keeps them for as many years after
    its end as the state says; the later of the two days counts.
    """
    if any(hold.ended_on is None for hold in holds):
        return Kept(None, "a hold stands on this visit")
    rule = asks.retention
    if rule is None or rule.years is None:
        return Kept(None, f"{asks.name} gives no number of years that was confirmed")
    begun = inspected_on if rule.counted_from != "delivery" else delivered_on
    if begun is None:
        return Kept(None, "the years count from delivery, and nothing is delivered yet")
    until, because = years_after(begun, rule.years), f"{rule.years} years"
    for hold in holds:
        if rule.after_hold_years is None or hold.ended_on is None:
            continue
        later = years_after(hold.ended_on, rule.after_hold_years)
        if later > until:
            until = later
            because = f"{rule.after_hold_years} years from the end of a hold"
    return Kept(until, because)


def years_after(day: date, years: int) -> date:
    """Return the same day some years on; February 29 ends on March 1."""
    if (day.month, day.day) == LEAP_DAY:
        try:
            return day.replace(year=day.year + years)
        except ValueError:
            return date(day.year + years, 3, 1)
    return day.replace(year=day.year + years)
