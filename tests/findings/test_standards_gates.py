"""Due dates, compulsory parts, the front page and the signer."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from findings.standards import front
from findings.standards.due import (
    add_business_days,
    due_date,
    is_business_day,
    legal_date,
)
from findings.standards.loader import pack
from findings.standards.parts import missing_parts
from findings.standards.signer import License, Signatory, license_for, objections

NC = pack("NC")
ZONE = "America/New_York"


def local(*parts):
    return datetime(*parts, tzinfo=ZoneInfo(ZONE))


@dataclass(frozen=True)
class Words:
    seen: str = (
        "The breaker marked 14 in the main panel holds two wires under one screw."
    )
    matters: str = "A screw made for one wire can work loose and grow hot."
    action: str = "Have an electrician give each wire its own place."
    when: str = "Before you move in."


@dataclass(frozen=True)
class F:
    name: str
    consequence: str
    timing: str


# The three business days are the statute's (G.S. 143-151.58(a)). Which days are
# holidays is taken from the holidays library for North Carolina: in 2026 it has
# Thanksgiving on 26 and the day after on 27 November, and 24 to 26 December.
@pytest.mark.parametrize(
    ("inspected", "due"),
    [
        (local(2026, 11, 16, 9), date(2026, 11, 19)),  # Monday: Thursday
        (local(2026, 11, 19, 9), date(2026, 11, 24)),  # Thursday: over a weekend
        (local(2026, 11, 21, 9), date(2026, 11, 25)),  # Saturday counts from Monday
        (local(2026, 11, 23, 9), date(2026, 11, 30)),  # Monday before Thanksgiving
        (local(2026, 11, 24, 9), date(2026, 12, 1)),  # Tuesday before it
        (local(2026, 11, 25, 9), date(2026, 12, 2)),  # the eve
        (local(2026, 12, 31, 9), date(2027, 1, 6)),  # New Year's Day is Friday
    ],
)
def test_three_business_days_across_weekends_and_holidays(inspected, due):
    found = due_date(NC, inspected, ZONE)

    assert found.at == datetime.combine(due, datetime.min.time()).replace(
        hour=23, minute=59, tzinfo=ZoneInfo(ZONE)
    )
    assert found.source == "state"


def test_the_day_is_the_propertys_day_not_utc():
    # 02:30 UTC on Tuesday is still Monday evening in North Carolina.
    found = due_date(NC, datetime(2026, 11, 17, 2, 30, tzinfo=UTC), ZONE)

    assert found.at is not None
    assert found.at.date() == date(2026, 11, 19)


def test_the_promise_is_the_earliest_of_three():
    inspected = local(2026, 11, 23, 14)
    agreed, decide_by = local(2026, 11, 25, 12), local(2026, 11, 24, 17)

    found = due_date(NC, inspected, ZONE, agreed=agreed, decide_by=decide_by)

    assert [line.source for line in found.lines] == ["decide_by", "agreed", "state"]
    assert found.at == decide_by


def test_a_later_agreed_date_replaces_the_states_in_law_only():
    agreed = local(2026, 12, 10, 12)
    found = due_date(NC, local(2026, 11, 16, 9), ZONE, agreed=agreed)

    assert found.source == "state"
    assert legal_date(found, NC) == agreed


def test_without_a_number_of_days_only_promises_count():
    delivery = msgspec.structs.replace(NC.delivery, days=None)
    unknown = msgspec.structs.replace(NC, delivery=delivery)

    assert due_date(unknown, local(2026, 11, 16, 9), ZONE).at is None
    assert due_date(unknown, local(2026, 11, 16, 9), ZONE).source == ""


def test_plain_days_count_weekends():
    delivery = msgspec.structs.replace(NC.delivery, unit="days", days=2)
    plain = msgspec.structs.replace(NC, delivery=delivery)

    found = due_date(plain, local(2026, 11, 20, 9), ZONE)

    assert found.at is not None
    assert found.at.date() == date(2026, 11, 22)


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="time zone"):
        due_date(NC, datetime(2026, 11, 16), ZONE)  # noqa: DTZ001


@given(st.dates(date(2020, 1, 1), date(2035, 12, 31)), st.integers(1, 10))
def test_business_days_hold_exactly_that_many(day, count):
    end = add_business_days(day, count, "NC")
    between = [
        date.fromordinal(n) for n in range(day.toordinal() + 1, end.toordinal() + 1)
    ]

    assert is_business_day(end, "NC")
    assert sum(is_business_day(d, "NC") for d in between) == count


def test_whole_words_miss_nothing():
    assert missing_parts(NC, Words()) == []


@pytest.mark.parametrize(
    ("change", "missing"),
    [
        ({"seen": ""}, ["component", "condition"]),
        ({"seen": "Main panel."}, ["condition"]),
        ({"matters": "Bad."}, ["consequence"]),
        ({"action": ""}, ["direction"]),
        ({"action": "This is very sad indeed."}, ["direction"]),
    ],
)
def test_each_compulsory_part_is_missed(change, missing):
    assert [m.id for m in missing_parts(NC, Words(**change))] == missing


ALL = [
    F("age", "old_for_kind", "when_replaced"),
    F("gutter", "harming_building", "first_year"),
    F("panel", "could_hurt", "before_move_in"),
    F("filter", "upkeep", "first_year"),
    F("fan", "did_not_work", "before_close"),
    F("live", "could_hurt", "today"),
]


def test_the_front_holds_what_does_not_work_and_safety_only_in_our_order():
    assert [f.name for f in front.front_order(NC, ALL)] == [
        "live",
        "panel",
        "gutter",
        "fan",
    ]


def test_the_body_leaves_none_out():
    assert {f.name for f in front.body_order(ALL)} == {f.name for f in ALL}


def test_equal_findings_keep_the_order_given():
    twins = [F(n, "could_hurt", "today") for n in "cab"]

    assert front.front_order(NC, twins) == twins


@pytest.mark.parametrize(
    ("purpose", "systems", "wanted"),
    [
        ("purchase", {"a", "b", "c"}, True),
        ("purchase", {"a", "b"}, False),
        ("upkeep", {"a", "b", "c"}, False),
    ],
)
def test_the_summary_is_compulsory_for_purchase_of_three_systems(
    purpose, systems, wanted
):
    assert front.compulsory(NC, purpose, systems) is wanted


def test_the_notice_of_the_front_is_the_firms_to_fill():
    notice = front.notice(NC)

    assert notice is not None
    assert notice.text == ""
    assert front.notice(NC, "contract") is None


DAY = date(2026, 11, 23)
HELD = License("NC", "4711", date(2020, 1, 1), date(2026, 11, 23))


def test_a_license_holds_on_its_last_day():
    person = Signatory("Ada", was_on_site=True, licenses=(HELD,))

    assert objections(NC, person, visit_on=DAY, signing_on=date(2026, 12, 1)) == []
    assert license_for(NC, [HELD], DAY) == HELD


@pytest.mark.parametrize(
    "held",
    [
        License("NC", "4711", None, date(2026, 11, 22)),
        License("NC", "4711", date(2026, 11, 24), date(2027, 1, 1)),
        License("SC", "4711", None, date(2027, 1, 1)),
        License("NC", "  ", None, date(2027, 1, 1)),
        License("NC", "4711", None, None),
    ],
)
def test_a_license_that_does_not_cover_the_visit_is_said(held):
    person = Signatory("Ada", was_on_site=True, licenses=(held,))

    (said,) = objections(NC, person, visit_on=DAY, signing_on=DAY)

    assert said == (
        "Ada has no North Carolina license that was valid on November 23, 2026."
    )


def test_only_the_inspector_who_was_there_signs():
    person = Signatory("Bo", was_on_site=False, licenses=(HELD,))

    (said,) = objections(NC, person, visit_on=DAY, signing_on=DAY)

    assert "not on site" in said
