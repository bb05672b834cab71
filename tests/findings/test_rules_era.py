"""Which edition governed: dates, lists, ranges, amendments, and what cannot be told."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from findings.rules import era
from findings.rules.era import Dates, Line, Span, resolve

# The North Carolina line is from adoption notices (found); the earlier one is invented.
LIST = (Line(2017, "2018-06-12"), Line(2020, "2021-11-01"))


def built(year: int, to: int | None = None, **more: object) -> Dates:
    return Dates(built=Span.of(year, to), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("dates", "first", "status"),
    [
        (Dates(), 1987, era.NO_DATE),
        (built(1986), 1987, era.NOT_REQUIRED),
        (built(1987), 1987, era.CANNOT_TELL),
        (built(2024), 1987, era.CANNOT_TELL),
        (built(1987, lag=3), 1987, era.CANNOT_TELL),
        (built(1990, lag=3), 1987, era.REQUIRED),
        (built(1989, lag=3), 1987, era.CANNOT_TELL),
        (built(1980, 1985), 1987, era.NOT_REQUIRED),
        (built(1985, 1995), 1987, era.CANNOT_TELL),
        (built(1985, 1995, lag=3), 1987, era.CANNOT_TELL),
        (built(1991, 1995, lag=3), 1987, era.REQUIRED),
        (built(2020, adoption=LIST), 2020, era.NOT_REQUIRED),
        (built(2021, adoption=LIST), 2020, era.CANNOT_TELL),
        (built(2022, adoption=LIST), 2020, era.REQUIRED),
        (built(2022, adoption=LIST), 2023, era.NOT_REQUIRED),
        (built(2010, adoption=LIST), 2008, era.CANNOT_TELL),
        (built(2024, adoption=LIST, known_until="2023-12-31"), 2023, era.CANNOT_TELL),
        (built(2024, adoption=LIST, known_until="2023-12-31"), 2020, era.REQUIRED),
        (Dates(adopted_edition=2017), 2020, era.NOT_REQUIRED),
        (Dates(adopted_edition=2020), 2020, era.REQUIRED),
        (built(2022, adopted_edition=2017), 2020, era.NOT_REQUIRED),
        # An edition printed after the house cannot have governed it.
        (built(1990, adopted_edition=2017, lag=3), 1987, era.REQUIRED),
        (built(1950, amendment=True), 1987, era.REQUIRED),
        (built(2020, amendment=False), 1987, era.NOT_REQUIRED),
        (built(2020, lag=3, amendment="see the state's text"), 1987, era.CANNOT_TELL),
    ],
)
def test_three_answers_and_no_date(dates: Dates, first: int, status: str) -> None:
    assert resolve(dates, first).status == status


def test_the_latest_work_on_the_item_governs() -> None:
    dates = Dates(
        built=Span.of(1950), permit=Span.of("1949-04-01"), altered=Span.of(2005), lag=3
    )

    assert dates.governing() == (Span("2005-01-01", "2005-12-31"), "altered")
    assert resolve(dates, 1996).status == era.REQUIRED


def test_a_permit_outranks_the_year_of_completion() -> None:
    dates = Dates(built=Span.of(2022), permit=Span.of("2021-10-31"), adoption=LIST)

    assert resolve(dates, 2020).status == era.NOT_REQUIRED


def test_a_text_that_takes_effect_later_is_not_in_force_before() -> None:
    # Outdoor receptacles: 1971 text, effective 1 January 1973 (public history lists).
    day_before = Dates(permit=Span.of("1972-12-31"), lag=0)
    day_itself = Dates(permit=Span.of("1973-01-01"), lag=0)

    assert resolve(day_before, 1971, "1973-01-01").status == era.NOT_REQUIRED
    assert resolve(day_itself, 1971, "1973-01-01").status == era.REQUIRED


def test_sources_that_differ_leave_the_years_between_them_open() -> None:
    # Bar sinks: 1993 by two lists, 1999 by a column. Case files take the first.
    listed = built(1996, adoption=(Line(1993, "1993-06-01"),))

    assert resolve(listed, 1993, doubt_until=1999).status == era.CANNOT_TELL
    assert resolve(built(1996, lag=3), 1993, doubt_until=1999).status == era.REQUIRED


def test_the_product_assumes_no_lag() -> None:
    for year in (1987, 1995, 2005, 2025):
        assert resolve(built(year), 1987).status == era.CANNOT_TELL


@given(st.integers(1900, 2030), st.integers(1950, 2023), st.integers(0, 12))
def test_later_work_is_never_less_bound(year: int, first: int, lag: int) -> None:
    rank = {era.NOT_REQUIRED: 0, era.CANNOT_TELL: 1, era.REQUIRED: 2}
    one = resolve(built(year, lag=lag), first).status
    next_year = resolve(built(year + 1, lag=lag), first).status

    assert rank[one] <= rank[next_year]


@given(st.integers(1900, 2030), st.integers(0, 20), st.integers(1950, 2023))
def test_a_range_is_sure_only_where_both_its_ends_agree(
    year: int, width: int, first: int
) -> None:
    whole = resolve(built(year, year + width, lag=3), first).status
    ends = {resolve(built(y, lag=3), first).status for y in (year, year + width)}

    assert whole == (ends.pop() if len(ends) == 1 else era.CANNOT_TELL)
