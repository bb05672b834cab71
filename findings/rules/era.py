"""Which edition governed, and whether a rule was in force: three-valued.

The date that governs an item is the latest that touched it: replaced, else
installed or altered, else the permit, else when the house was built. An adoption
list decides; a lag is assumed only where a case file says so; otherwise the answer
after an edition's first year is "cannot tell".
"""

from dataclasses import dataclass
from typing import Any

REQUIRED, NOT_REQUIRED = "required", "not_required"
CANNOT_TELL, NO_DATE = "cannot_tell", "no_date"
ROLES = ("replaced", "altered", "installed", "permit", "built")


@dataclass(frozen=True)
class Span:
    """A day, a year or a range of days, both ends included, as ISO dates."""

    first: str
    last: str

    @classmethod
    def of(cls, value: Any, to: Any = None) -> "Span":
        """Give a span from a year or an ISO date, or from two of them."""
        low, high = _ends(value), _ends(value if to is None else to)
        return cls(min(low[0], high[0]), max(low[1], high[1]))

    def words(self) -> str:
        """Give the span as a person would write it."""
        one, two = self.first[:4], self.last[:4]
        if self.first == self.last:
            return self.first
        return one if one == two else f"{one} to {two}"


def _ends(value: Any) -> tuple[str, str]:
    text = str(value)
    if text.isdigit():
        return f"{text}-01-01", f"{text}-12-31"
    return text[:10], text[:10]


@dataclass(frozen=True)
class Line:
    """One line of a timeline: from this day this edition was in force."""

    edition: int
    effective: str
    source: str = ""
    # The county or city whose line it is; nothing where it is the state's.
    place: str = ""


@dataclass(frozen=True)
class Dates:
    """All that is known of when an item came to be, and of what was in force."""

    built: Span | None = None
    permit: Span | None = None
    installed: Span | None = None
    altered: Span | None = None
    replaced: Span | None = None
    adoption: tuple[Line, ...] = ()
    known_until: str = ""
    adopted_edition: int | None = None
    lag: int | None = None
    rule_effective: str = ""
    amendment: bool | str | None = None
    place: str = ""
    # Lines of the county or city, those of the topic first; they outrank the state's.
    local: tuple[tuple[Line, ...], ...] = ()

    def governing(self) -> tuple[Span | None, str]:
        """Give the span that governs and which of the dates it is."""
        for role in ROLES:
            span: Span | None = getattr(self, role)
            if span is not None:
                return span, role
        return None, ""


@dataclass(frozen=True)
class Verdict:
    """Whether a rule was in force for an item, and how that was decided."""

    status: str
    decided_by: str
    edition: int | None = None


def apart(dates: Dates) -> str:
    """Name two dates that cannot both be so: work done before the house was built."""
    built = dates.built
    for role in ("replaced", "altered"):
        work: Span | None = getattr(dates, role)
        if work and built and work.last < built.first:
            both = f"{role} {work.words()}, and built {built.words()}"
            return f"{both}: which of the two holds?"
    return ""


def resolve(
    dates: Dates, first: int, effective: str = "", doubt_until: int | None = None
) -> Verdict:
    """Whether a rule first printed in edition `first` was in force.

    `effective` is a later day from which the text itself says it holds;
    `doubt_until` is the later year some sources give for the first edition.
    """
    effective = max(effective, dates.rule_effective)
    amended = _amended(dates)
    if amended:
        return amended
    span, role = dates.governing()
    if span is None:
        return _without_date(dates, first)
    ends = [_at(dates, day, first, effective) for day in (span.first, span.last)]
    reason = f"{role} {span.words()}: {ends[-1].decided_by}"
    if ends[0].status != ends[1].status:
        return Verdict(CANNOT_TELL, f"{role} {span.words()}: the range straddles it")
    in_doubt = doubt_until is not None and dates.lag is None
    if in_doubt and span.first < f"{doubt_until}-01-01" and ends[0].status == REQUIRED:
        return Verdict(CANNOT_TELL, f"sources differ: {first} or {doubt_until}")
    return Verdict(ends[1].status, reason, ends[1].edition)


def _amended(dates: Dates) -> Verdict | None:
    if dates.amendment is None or dates.amendment == "":
        return None
    if isinstance(dates.amendment, bool):
        status = REQUIRED if dates.amendment else NOT_REQUIRED
        return Verdict(status, "a state amendment decides")
    words = f"a state amendment must be read: {dates.amendment}"
    return Verdict(CANNOT_TELL, words)


def _without_date(dates: Dates, first: int) -> Verdict:
    if dates.adopted_edition is None:
        return Verdict(NO_DATE, "no date is known for this item")
    return _by_edition(dates.adopted_edition, first, "the edition in force was given")


def _by_edition(edition: int, first: int, how: str) -> Verdict:
    status = REQUIRED if edition >= first else NOT_REQUIRED
    return Verdict(status, f"{how}: {edition}", edition)


def _at(dates: Dates, day: str, first: int, effective: str) -> Verdict:
    year = int(day[:4])
    if year < first:
        return Verdict(NOT_REQUIRED, f"before the {first} edition was printed")
    if day < effective:
        return Verdict(NOT_REQUIRED, f"before {effective}, when the text took effect")
    adopted = dates.adopted_edition
    # An edition printed after the work cannot have governed it.
    if adopted is not None and year >= adopted - 1:
        return _by_edition(adopted, first, "the edition in force was given")
    if dates.adoption or dates.local:
        return _by_list(dates, day, first)
    return _by_lag(dates, year, max(first, int(effective[:4] or 0)))


def _by_lag(dates: Dates, year: int, base: int) -> Verdict:
    if dates.lag is None:
        return Verdict(CANNOT_TELL, "no sourced list of adoption dates")
    if year >= base + dates.lag:
        return Verdict(REQUIRED, f"{base} and {dates.lag} years of assumed lag passed")
    return Verdict(CANNOT_TELL, f"within {dates.lag} years of {base}")


def line_at(dates: Dates, day: str) -> Line | None:
    """Give the line in force on a day: the county's or city's before the state's."""
    for lines in (*dates.local, dates.adoption):
        past = [line for line in lines if line.effective <= day]
        if past:
            return max(past, key=lambda one: (one.effective, one.edition))
    return None


def _by_list(dates: Dates, day: str, first: int) -> Verdict:
    line = line_at(dates, day)
    if line is None:
        return Verdict(CANNOT_TELL, "before the first line of the adoption list")
    where = f" in {line.place}" if line.place else ""
    how = f"in force{where} since {line.effective}"
    verdict = _by_edition(line.edition, first, how)
    stale = dates.known_until and day > dates.known_until
    if stale and verdict.status == NOT_REQUIRED:
        return Verdict(CANNOT_TELL, f"the list is checked until {dates.known_until}")
    return verdict
