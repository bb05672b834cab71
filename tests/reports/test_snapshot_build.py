"""A snapshot of a visit that was walked, worded and signed for real."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from msgspec import structs

from findings.models import DutyCheck, Finding, NoticeText
from reports.rendering import canonical, reading
from reports.services.snapshot import findings, systems
from reports.services.snapshot.build import build
from reports.services.snapshot.material import Material, gather
from tests.support.cast import Cast
from tests.support.walked import FIRST_ISSUE, Walk, walk

pytestmark = pytest.mark.django_db

# product.md's words that are never a rating or a label; "safe" and "monitor" are words
# of ordinary speech too, so that these two are looked for in labels alone.
NEVER = re.compile(
    r"\b(maintenance|informational|needs specialist|satisfactory|adequate|violations?"
    r"|illegal|grandfathered)\b",
    re.IGNORECASE,
)
# How codes, their sections, duties and rules are written in this project's own data.
CODES = re.compile(
    r"\b(NEC|IRC|NFPA|NCAC|G\.S\.)|\b\d{3}\.\d+\b|NC-[A-Z]{2}-\d|\belec\.[a-z]"
)


def texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for inner in value.values():
            yield from texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from texts(inner)


@pytest.fixture
def walked(cast: Cast) -> Walk:
    """A whole visit, ready to be released."""
    made = walk(cast)
    made.clients("Dana Whitlow", "Rui Whitlow")
    made.picture("ph-out", stop="s-out", use="general_view")
    made.picture(
        "ph-13",
        stop="s-svc",
        about="sp-13",
        use="shows_it",
        caption="Breaker in space 13",
    )
    made.picture("ph-mine", stop="s-kit", use="for_me")
    made.decide("use")
    made.finish()
    return made


def build_it(walked: Walk) -> bytes:
    return build(
        actor=walked.cast.reviewer.actor, visit=walked.visit, issue=FIRST_ISSUE
    )


def test_a_finished_visit_makes_canonical_bytes(walked: Walk) -> None:
    raw = build_it(walked)

    assert canonical.encode(reading.from_bytes(raw)) == raw


def test_building_twice_gives_the_same_bytes(walked: Walk) -> None:
    assert build_it(walked) == build_it(walked)


def test_it_says_who_looked_and_who_only_checked_words(walked: Walk) -> None:
    told = walked.told()

    looked = told["people"]["looked_by"][0]
    assert (looked["name"], looked["licence"]) == ("Ines Field", "N-1")
    assert looked["signed_local"] == "November 24, 2026, 3:00 p.m."
    checker = told["people"]["words_checked_by"]
    assert checker["name"] == "Rae Reviewer"
    assert (checker["visited"], checker["same_person"]) == (False, False)
    absent = "Rae Reviewer checked the words of this report and was not at the house."
    assert absent in told["disclosures"]
    assert told["people"]["clients"] == ["Dana Whitlow", "Rui Whitlow"]
    assert [one["name"] for one in told["signatures"]] == ["Rae Reviewer", "Ines Field"]
    assert told["signatures"][1]["signed_at"] == "2026-11-24T20:00:00Z"


def test_a_visit_that_nobody_signed_can_be_read_as_the_client_will(cast: Cast) -> None:
    made = walk(cast)
    made.clients("Dana Whitlow")

    told = made.told()

    assert told["signatures"] == []
    assert told["people"]["words_checked_by"]["name"] == "Nobody yet"
    assert told["people"]["looked_by"][0]["signed_local"] == ""


def test_the_current_words_are_printed_with_the_sentence(walked: Walk) -> None:
    told = walked.told()
    about_13 = _about(walked, told, 13)

    row = Finding.objects.select_related("words").get(pk=about_13["id"])
    assert row.words is not None
    assert about_13["words"]["seen"] == row.words.seen
    assert about_13["sentence"].startswith(about_13["consequence"]["label"])
    assert about_13["photos"] == [walked.id("ph-13")]
    assert "Service equipment" in about_13["place"]


def test_findings_run_along_the_route_the_graver_first(cast: Cast) -> None:
    made = walk(cast)
    made.clients("Dana Whitlow")
    bed, kitchen = made.id("s-bed"), made.id("s-kit")
    made.finding("a", stop=bed, places=["Bedroom"], consequence="upkeep")
    made.finding("b", stop=bed, places=["Bedroom"], consequence="could_hurt")
    made.finding("c", stop=kitchen, places=["Kitchen", "Bedroom"], timing="first_year")
    made.finding("d", stop=None, places=[])
    made.finding("e", state="WITHDRAWN", stop=bed, places=["Bedroom"])

    told = made.told()

    assert [one["number"] for one in told["findings"]] == [1, 2, 3, 4]
    placed = [(one["place"], one["consequence"]["key"]) for one in told["findings"]]
    assert placed == [
        ("Kitchen; Bedroom", "could_hurt"),
        ("Bedroom", "could_hurt"),
        ("Bedroom", "upkeep"),
        ("The house as a whole", "could_hurt"),
    ]
    assert told["findings"][0]["places"] == [kitchen, bed]
    assert told["places"][-1]["id"] == "house"
    in_bedroom = next(one for one in told["places"] if one["id"] == bed)
    assert len(in_bedroom["findings"]) == 3


def test_an_accepted_change_of_place_moves_the_finding(cast: Cast) -> None:
    made = walk(cast)
    made.clients("Dana Whitlow")
    made.finding("a", stop=made.id("s-bed"), places=["Garage"])

    assert made.told()["findings"][0]["place_id"] == made.id("s-gar")


def test_the_front_page_follows_the_pack_and_only_sorts_inside(cast: Cast) -> None:
    made = walk(cast)
    made.clients("Dana Whitlow")
    kitchen, bed = made.id("s-kit"), made.id("s-bed")
    made.finding("a", stop=kitchen, places=["Kitchen"], consequence="did_not_work")
    made.finding("b", stop=kitchen, places=["Kitchen"], consequence="upkeep")
    made.finding("c", stop=bed, places=["Bedroom"], consequence="could_hurt")

    told = made.told()

    by_id = {one["id"]: one for one in told["findings"]}
    kinds = [by_id[one]["consequence"]["key"] for one in told["front"]["items"]]
    assert kinds == ["could_hurt", "did_not_work"]
    assert [one["in_front"] for one in told["findings"]] == [True, False, True]
    # One system only: North Carolina's notice is for three or more.
    assert told["front"]["notice"] is None


def test_the_notice_is_the_newest_text_that_the_firm_entered(cast: Cast) -> None:
    made = walk(cast, scope=[])
    made.clients("Dana Whitlow")
    for version, text in ((1, "Older text."), (2, "What the law says, entered.")):
        NoticeText.objects.create(
            firm=cast.northside,
            pack="NC",
            slot="summary_notice",
            version=version,
            text=text,
            source="the official text",
            entered_by=cast.owner.member,
        )

    assert made.told()["front"]["notice"] == "What the law says, entered."


def test_pictures_kept_for_the_firm_or_without_copies_stay_out(walked: Walk) -> None:
    shown = {one["id"] for one in walked.told()["photos"]}

    assert shown == {walked.id("ph-out"), walked.id("ph-13")}
    assert walked.told()["cover_photo"] == walked.id("ph-out")
    walked.picture("ph-late", stop="s-out", use="general_view", stored=False)
    assert {one["id"] for one in walked.told()["photos"]} == shown


def test_marks_drawn_later_need_their_own_copies(walked: Walk) -> None:
    before = {one["id"] for one in walked.told()["photos"]}
    walked.record(
        mk={
            "kind": "mark",
            "photo": "ph-13",
            "shape": "ring",
            "points": [[100, 100], [900, 900]],
            "colour": "red",
        }
    )

    assert walked.id("ph-13") in before
    assert walked.id("ph-13") not in {one["id"] for one in walked.told()["photos"]}


def test_no_code_no_rule_and_no_label_of_the_never_list_is_printed(
    walked: Walk,
) -> None:
    told = walked.told()
    labels = [
        one[axis]["label"]
        for one in told["findings"]
        for axis in ("consequence", "timing", "trade")
    ]

    said = list(texts({key: told[key] for key in told if key != "versions"}))
    assert [text for text in said if NEVER.search(text)] == []
    assert [text for text in said if CODES.search(text)] == []
    assert not {"safe", "monitor"} & {label.lower() for label in labels}


def test_lines_of_the_pack_from_memory_wait_for_the_firms_reader(cast: Cast) -> None:
    made = walk(cast)
    made.clients("Dana Whitlow")
    held = gather(cast.reviewer.actor, made.visit)
    # The pack as it is, with one line said to be recalled and not read.
    duties = tuple(
        structs.replace(duty, source="memory") if duty.id == "NC-EL-027" else duty
        for duty in held.seen.pack.duties
    )
    seen = replace(held.seen, pack=structs.replace(held.seen.pack, duties=duties))

    recalled = replace(held, seen=seen)
    checked = replace(held, seen=seen, checked=frozenset({"NC-EL-027"}))

    assert "The service comes in overhead." not in _described(recalled)
    assert "The service comes in overhead." in _described(checked)


def test_what_the_firm_has_checked_is_read_from_its_own_ticks(cast: Cast) -> None:
    made = walk(cast)
    DutyCheck.objects.create(
        firm=cast.northside,
        what="NC-EL-027",
        checked_by=cast.reviewer.member,
        checked_on="2026-11-01",
    )

    assert gather(cast.reviewer.actor, made.visit).checked == {"NC-EL-027"}


def _described(material: Material) -> list[str]:
    numbered = findings.number(material)
    return [
        pair["text"]
        for one in systems.printed(material, numbered)
        for pair in one["described"]
    ]


def test_words_of_the_trade_are_explained_when_they_occur(walked: Walk) -> None:
    told = walked.told()
    terms = [one["term"] for one in told["glossary"]]

    assert "Breaker" in terms
    assert terms == sorted(terms)
    said = " ".join(texts({k: v for k, v in told.items() if k != "glossary"})).lower()
    assert not [term for term in terms if term == "Flashing" and term not in said]


def test_letters_written_apart_become_one_form(cast: Cast) -> None:
    made = walk(cast)
    made.clients("Zoe\u0301 Whitlow")

    assert made.told()["people"]["clients"] == ["Zo\u00e9 Whitlow"]


def test_markup_in_a_record_stays_text(cast: Cast) -> None:
    made = walk(cast)
    made.clients("Dana Whitlow")
    made.record(left={"kind": "as_left", "what": "<b>Gate</b>", "left": "closed"})

    assert made.told()["as_left"][0]["what"] == "<b>Gate</b>"


def test_the_number_of_queries_does_not_grow(cast: Cast) -> None:
    made = walk(cast)
    made.clients("Dana Whitlow")
    made.finding("a", stop=made.id("s-bed"), places=["Bedroom"])
    few = _queries(made)
    for number in range(6):
        made.picture(f"ph-{number}", stop="s-bed", use="general_view")
        made.finding(f"x{number}", stop=made.id("s-kit"), places=["Kitchen"])

    assert _queries(made) == few


def _queries(made: Walk) -> int:
    with CaptureQueriesContext(connection) as held:
        build_it(made)
    return len(held)


def _about(walked: Walk, told: dict[str, Any], number: int) -> dict[str, Any]:
    """Return the finding that the space of that number points at."""
    spaces = told["panels"][0]["spaces"]
    space = next(one for one in spaces if one["number"] == number)
    wanted = space["findings"][0]
    return next(one for one in told["findings"] if one["id"] == wanted)
