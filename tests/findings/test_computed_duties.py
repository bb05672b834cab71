"""What states ask that the program computes, each with its section: one table a duty.

The figures are the states' own, as far as their text was read; where a row says
"memory" or "second hand" the value was not read in the rule. Days were counted by hand
on a calendar of 2026 (March 2 is a Monday).
"""

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from findings.standards import agreed, conflicts, entry, statements, supervision
from findings.standards.due import due_date, waits_for_payment
from findings.standards.front import compulsory
from findings.standards.loader import asks, begun, codes, pack
from findings.standards.parts import kept_words, missing_parts
from findings.standards.retention import Hold, kept
from findings.standards.signer import License, Signatory, objections

ZONE = ZoneInfo("America/Chicago")
MONDAY = date(2026, 3, 2)


def at(day: date, hour: int = 12) -> datetime:
    return datetime(day.year, day.month, day.day, hour, tzinfo=ZONE)


# --- the day the report is due -------------------------------------------------------

DUE = [
    # state, paid on, due on
    ("NC", None, date(2026, 3, 5)),  # G.S. 143-151.58(a): 3 business days
    ("NY", None, date(2026, 3, 9)),  # RPL 444-g: 5 business days from completion
    ("MD", None, date(2026, 3, 11)),  # BOP 16-4A-01: 7 business days
    ("LA", None, date(2026, 3, 7)),  # LAC 46:XL.305: 5 days
    ("TX", None, None),  # 22 TAC 535.222(a): counted from payment, none yet
    ("TX", date(2026, 3, 5), date(2026, 3, 7)),  # 2 days from payment in full
    ("TX", date(2026, 2, 27), date(2026, 3, 4)),  # paid before: from the visit
    ("WA", None, None),  # no number of days in the text read
    ("VA", None, None),  # not confirmed
]


@pytest.mark.parametrize(("state", "paid", "due"), DUE)
def test_the_day_the_report_is_due(state, paid, due):
    found = due_date(
        asks(state),
        at(MONDAY),
        "America/Chicago",
        paid_at=at(paid) if paid else None,
    )

    assert (found.at.date() if found.at else None) == due


def test_an_agreed_date_and_the_clients_deadline_still_count_where_the_state_waits():
    found = due_date(
        asks("TX"), at(MONDAY), "America/Chicago", agreed=at(date(2026, 3, 6))
    )

    assert waits_for_payment(asks("TX"), None)
    assert found.source == "agreed"


# --- until when records are kept -----------------------------------------------------

CLOSED_EARLY = (Hold(date(2026, 6, 1), date(2027, 1, 1)),)
CLOSED_LATE = (Hold(date(2028, 6, 1), date(2030, 6, 1)),)
OPEN = (Hold(date(2026, 6, 1)),)
KEPT = [
    # state, holds, kept until
    ("NC", (), date(2029, 3, 2)),  # 11 NCAC 08: 3 years (memory, low)
    ("NC", OPEN, None),
    ("IL", (), date(2031, 3, 2)),  # 68 Ill. Adm. Code 1410.240: 5 years
    ("IL", CLOSED_EARLY, date(2031, 3, 2)),  # or 2 years after, the longer
    ("IL", CLOSED_LATE, date(2032, 6, 1)),
    ("MD", (), date(2031, 3, 5)),  # BOP 16-4A-05: 5 years from delivery
    ("MD", CLOSED_EARLY, date(2032, 1, 1)),  # a fresh 5 years
    ("NV", (), date(2029, 3, 2)),  # NAC 645D.620: 3 years
    ("NJ", (), date(2031, 3, 2)),  # N.J.A.C. 13:40-15.15: 5 years
    ("OR", (), date(2032, 3, 2)),  # OAR 812-008: 6 years (memory, low)
    ("TX", (), None),  # not confirmed
    ("WA", (), None),  # not confirmed
]


@pytest.mark.parametrize(("state", "holds", "until"), KEPT)
def test_until_when_records_are_kept(state, holds, until):
    found = kept(
        asks(state),
        inspected_on=MONDAY,
        delivered_on=date(2026, 3, 5),
        holds=holds,
    )

    assert found.until == until
    assert found.because


def test_years_from_the_leap_day_and_from_a_delivery_still_to_come():
    leap = kept(asks("NC"), inspected_on=date(2028, 2, 29), delivered_on=None)
    undelivered = kept(asks("MD"), inspected_on=MONDAY, delivered_on=None)

    assert leap.until == date(2031, 3, 1)
    assert undelivered.until is None


# --- signatures before the work, before the money ------------------------------------


def signing(*clients, firm=None, booked=MONDAY):
    return agreed.Signing(at(booked), at(booked), clients, firm)


SIGNED = at(MONDAY, 8)
GATES = [
    # state, step, signing, waits
    ("NC", "start", signing(None), True),  # 11 NCAC 08 .1103(b)(1)
    ("NC", "start", signing(SIGNED, None), True),  # every client
    ("NC", "start", signing(SIGNED, SIGNED), False),
    ("NC", "payment", signing(None), False),
    ("NJ", "start", signing(None), True),  # N.J.A.C. 13:40-15.15
    ("VA", "start", signing(SIGNED), True),  # 18VAC15-40-120: both sign
    ("VA", "payment", signing(SIGNED), True),  # before work or payment
    ("VA", "payment", signing(SIGNED, firm=SIGNED), False),
    ("IL", "start", signing(None), True),  # second hand
    ("TX", "start", signing(None), False),  # no agreement duty was read
    ("LA", "start", signing(None), False),  # whenever possible
]


@pytest.mark.parametrize(("state", "step", "signed", "waits"), GATES)
def test_what_waits_for_a_signature(state, step, signed, waits):
    assert bool(agreed.waits(asks(state), signed, step)) is waits


def test_a_signature_after_the_work_began_is_seen():
    late = signing(at(MONDAY, 10))

    assert agreed.signed_late(asks("NC"), late, at(MONDAY, 9))
    assert not agreed.signed_late(asks("NC"), late, at(MONDAY, 11))
    assert not agreed.signed_late(asks("TX"), late, at(MONDAY, 9))


def test_the_agreement_goes_out_within_one_business_day_in_new_jersey():
    # N.J.A.C. 13:40-15.15; booked on Friday, March 6: Monday, March 9.
    friday = signing(None, booked=date(2026, 3, 6))

    assert agreed.send_by(asks("NJ"), friday, "America/New_York") == date(2026, 3, 9)
    assert agreed.send_by(asks("NC"), friday, "America/New_York") is None


# --- interests -----------------------------------------------------------------------

TIE = conflicts.Interest("tie", "The owner's sister sells the house.")
PAYER = conflicts.Interest("second_payer", "The lender pays half.")
TOLD = conflicts.Interest("second_payer", "The lender pays half.", told_on=MONDAY)
AGREED = conflicts.Interest(
    "second_payer", "The lender pays half.", told_on=MONDAY, consented=True
)


@pytest.mark.parametrize(
    ("state", "asked"),
    [
        ("WA", True),  # WAC 308-408C-020(2)
        ("NC", True),  # 11 NCAC 08 .1116(g)
        ("TX", False),
    ],
)
def test_an_interest_is_told_before_anybody_signs(state, asked):
    assert bool(conflicts.before_signing(asks(state), [TIE])) is asked
    told = conflicts.Interest(TIE.kind, TIE.text, told_on=MONDAY)
    assert conflicts.before_signing(asks(state), [told]) == []


@pytest.mark.parametrize(
    ("state", "interest", "stands_against"),
    [
        ("WA", PAYER, True),  # WAC 308-408C-020(7): written disclosure
        ("WA", TOLD, False),
        ("NC", TOLD, True),  # 11 NCAC 08 .1116(d): written consent of all
        ("NC", AGREED, False),
        ("OR", TOLD, True),  # OAR 812-008-0201: consent
        ("TX", PAYER, False),
    ],
)
def test_a_second_payer(state, interest, stands_against):
    assert bool(conflicts.second_payers(asks(state), [interest])) is stands_against


@pytest.mark.parametrize(
    ("state", "work_on", "refused"),
    [
        ("WA", MONDAY, True),  # WAC 308-408C-020(8): one year, the whole firm
        ("WA", date(2027, 3, 1), True),
        ("WA", date(2027, 3, 2), False),
        ("WA", date(2026, 3, 1), False),  # before the inspection
        ("NC", MONDAY, False),
        ("TX", MONDAY, False),
    ],
)
def test_work_for_pay_at_an_inspected_house(state, work_on, refused):
    found = conflicts.repair_objection(
        asks(state), inspected_on=MONDAY, work_on=work_on
    )

    assert bool(found) is refused


# --- measured ways in ----------------------------------------------------------------


def way_in(**measures):
    return {"kind": "way_in", "stop": "s", "how_known": "measured", **measures}


ENTRY = [
    # state, space, measures, too small
    ("WA", "under_floor", {"hatch_short_in": "17.9", "hatch_long_in": "24"}, True),
    ("WA", "under_floor", {"hatch_short_in": "18", "hatch_long_in": "24"}, False),
    ("WA", "under_floor", {"headroom_in": "17"}, True),
    ("WA", "under_floor", {"beam_clear_in": "11.5"}, True),
    ("TX", "under_floor", {"headroom_in": "17"}, True),
    ("TX", "under_floor", {"headroom_in": "18"}, False),
    ("TX", "attic", {"hatch_short_in": "20"}, True),  # 22 by 30 in, memory
    ("NJ", "attic", {"headroom_in": "23"}, True),  # second hand
    ("NC", "under_floor", {"headroom_in": "6"}, False),  # no figure was read
]


@pytest.mark.parametrize(("state", "space", "measures", "small"), ENTRY)
def test_a_space_too_tight_to_be_entered(state, space, measures, small):
    assert bool(entry.too_small(asks(state), way_in(**measures), space)) is small


def test_an_estimated_way_in_excuses_nothing():
    guess = {**way_in(headroom_in="10"), "how_known": "estimated"}

    assert entry.too_small(asks("WA"), guess, "under_floor") == ""


def test_a_whole_way_in_is_known_to_be_enough_only_when_all_of_it_was_measured():
    part = way_in(hatch_short_in="20", hatch_long_in="30", headroom_in="30")
    whole = {**part, "beam_clear_in": "14"}

    assert not entry.big_enough(asks("WA"), part, "under_floor")
    assert entry.big_enough(asks("WA"), whole, "under_floor")


# --- words ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Words:
    seen: str = "The handrail at the cellar stairs is loose at its lower end."
    matters: str = "It can give way when somebody leans on it."
    action: str = "Have a carpenter fasten it."
    when: str = "Before you move in."


@pytest.mark.parametrize(
    ("state", "words", "missing"),
    [
        ("NC", Words(), []),  # 11 NCAC 08 .1103(b)(3)(D): four parts
        ("NC", Words(matters=""), ["consequence"]),
        ("NC", Words(action=""), ["direction"]),
        ("FL", Words(matters=""), ["reason"]),  # 61-30.801(5)-(6)
        ("FL", Words(action=""), ["recommendation"]),
        ("WI", Words(seen=""), ["condition"]),  # SPS 131.33
        ("LA", Words(matters="", action=""), []),
    ],
)
def test_compulsory_parts_of_a_findings_words(state, words, missing):
    assert [one.id for one in missing_parts(asks(state), words)] == missing


@pytest.mark.parametrize(
    ("state", "text", "meets", "kept_for_others"),
    [
        ("WI", "A defect of the wiring.", set(), ["defect"]),  # SPS 131.33(1)(d), (f)
        ("WI", "A defect of the wiring.", {"legal_test"}, []),
        ("TX", "The cover is deficient.", set(), ["deficient"]),  # 22 TAC 535.227
        ("TX", "The cover is deficient.", {"as_deficient"}, []),
        ("NC", "A defect of the wiring.", set(), []),
    ],
)
def test_words_that_a_state_keeps(state, text, meets, kept_for_others):
    assert kept_words(asks(state), Words(seen=text), meets) == kept_for_others


# --- the front page, notices, names --------------------------------------------------


@pytest.mark.parametrize(
    ("state", "purpose", "systems", "asked"),
    [
        ("NC", "purchase", 3, True),  # 11 NCAC 08 .1103(b)(4)
        ("NC", "purchase", 2, False),
        ("NC", "upkeep", 9, False),
        ("WI", "purchase", 1, True),  # SPS 131.33
        ("TX", "purchase", 9, False),
        ("WA", "purchase", 9, False),
    ],
)
def test_when_a_summary_is_compulsory(state, purpose, systems, asked):
    assert compulsory(asks(state), purpose, ["x"] * systems) is asked


@pytest.mark.parametrize(
    ("state", "place", "points", "bold"),
    [
        ("NC", "summary", 0, False),  # G.S. 143-151.58(a1)
        ("NY", "agreement", 6, False),  # 19 NYCRR 197-4.2
        ("MD", "front", 14, True),  # BOP 16-4A
        ("WI", "summary", 0, False),  # s. 440.97
    ],
)
def test_words_fixed_by_law_are_an_empty_slot_with_its_type(state, place, points, bold):
    (slot,) = asks(state).notices

    assert (slot.place, slot.least_points, slot.bold) == (place, points, bold)
    assert slot.text == ""
    assert slot.fill_from


@pytest.mark.parametrize(
    ("state", "contributors"),
    [
        ("TX", True),  # 22 TAC 535.222(b)(1)
        ("IL", True),  # 68 Ill. Adm. Code 1410
        ("NC", False),
    ],
)
def test_everybody_who_took_part_is_named(state, contributors):
    assert asks(state).signer.contributors is contributors


def test_the_address_stands_on_every_page_in_texas():
    # 22 TAC 535.222(b)(2); the running head of our pages holds it in every state.
    assert "address" in asks("TX").each_page


@pytest.mark.parametrize(
    ("state", "there", "valid_until", "against"),
    [
        ("NC", True, date(2026, 3, 2), 0),
        ("NC", False, date(2026, 3, 2), 1),  # who was on site signs
        ("NC", True, date(2026, 3, 1), 1),  # 11 NCAC 08 .1103(b)(3)(E)
        ("MD", False, date(2027, 1, 1), 1),  # COMAR 09.36.07: must have been there
        ("IL", False, date(2027, 1, 1), 0),  # a licensed designee may sign
        ("IL", True, date(2026, 3, 3), 1),  # valid when signed, two days later
    ],
)
def test_who_may_sign(state, there, valid_until, against):
    held = License(state, "X-1", date(2020, 1, 1), valid_until)
    person = Signatory("Ines Calder", was_on_site=there, licenses=(held,))

    found = objections(
        asks(state), person, visit_on=MONDAY, signing_on=date(2026, 3, 4)
    )

    assert len(found) == against


# --- sharing, supervision, statements ------------------------------------------------


@pytest.mark.parametrize("state", ["NC", "NY", "MA", "OR", "IL", "WA"])
def test_the_client_agrees_in_writing_before_a_report_is_shared(state):
    # 11 NCAC 08 .1116(c); RPL 444-g; 266 CMR 6; OAR 812-008; 1410; WAC (memory).
    assert asks(state).sharing.consent == "written"


@pytest.mark.parametrize(
    ("state", "done", "left", "alone"),
    [
        ("CT", 0, 10, False),  # 20-493b: the first ten
        ("CT", 9, 1, False),
        ("CT", 10, 0, True),
        ("CT", 14, 0, True),
        ("NC", 0, None, True),  # no number was read
    ],
)
def test_supervised_visits_are_counted(state, done, left, alone):
    found = supervision.supervised(asks(state), done)

    assert found.left == left
    assert supervision.may_go_alone(asks(state), done) is alone


ALUMINUM = {
    "w": {"kind": "branch_wiring", "material": "aluminium", "stranding": "solid"}
}
COPPER = {"w": {"kind": "branch_wiring", "material": "copper", "stranding": "solid"}}
WALKED = {"s": {"kind": "stop", "stop_kind": "roof", "method": "walked"}}
FROM_GROUND = {"s": {"kind": "stop", "stop_kind": "roof", "method": "from_ground"}}
STATED = [
    # statement, records, findings, is due
    ("WA-S-01", ALUMINUM, [], True),  # WAC 308-408C-110(1)(d)
    ("WA-S-01", COPPER, [], False),
    ("WA-S-02", {}, ["elec.gfci.missing"], True),  # WAC 308-408C-110(1)(g)
    ("WA-S-02", {}, [], False),
    ("WA-S-03", {}, [], True),  # WAC 308-408C-100(1)(b)(iv), memory
    ("WA-S-05", FROM_GROUND, [], True),  # WAC 308-408C-090(2)
    ("WA-S-05", WALKED, [], False),
    ("TX-S-01", {}, [], True),  # 22 TAC 535.228(a)(1)(A)
]


@pytest.mark.parametrize(("key", "records", "rules", "due"), STATED)
def test_what_a_state_wants_said(key, records, rules, due):
    said = statements.due(
        asks(key[:2]), records, [{"rule": rule, "passage": ""} for rule in rules]
    )

    assert (key in {one.id for one in said}) is due


# --- states as a whole ---------------------------------------------------------------


def test_fifteen_states_are_known_three_of_them_whole():
    assert codes() == ["NC", "TX", "WA"]
    assert len(begun()) == 12
    assert not set(begun()) & set(codes())


@pytest.mark.parametrize("code", ["NC", "TX", "WA"])
def test_every_line_of_a_whole_standard_has_its_section_and_source(code):
    assert all(
        line.section and line.source in ("found", "memory")
        for line in pack(code).lines().values()
    )
