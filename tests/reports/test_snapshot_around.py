"""Limits, what was told and left, older rules, disclosures and corrections."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pytest

from findings.models import Finding
from inspections.models import Visit
from reports.models import Release
from reports.rendering import canonical
from reports.services.snapshot.build import IssueIn, build, replaced
from tests.support.cast import Cast
from tests.support.walked import FIRST_ISSUE, NOW, Walk, walk

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(cast: Cast) -> Walk:
    walked = walk(cast)
    walked.clients("Dana Whitlow")
    return walked


def place(told: dict[str, Any], name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in told["places"] if one["name"] == name)
    return found


def test_a_reason_says_what_it_hid_and_what_the_client_can_do(made: Walk) -> None:
    made.record(
        lim={
            "kind": "limit",
            "reason": "stored_goods",
            "text": "boxes along the rear wall",
            "reach": ["s-gar"],
            "told": "Dana Whitlow",
        }
    )

    limit = place(made.told(), "Garage")["limits"][0]

    assert limit["reason"] == (
        "Stored goods stood in the way: boxes along the rear wall. "
        "Told on the day: Dana Whitlow."
    )
    assert "before you close" in limit["what_you_can_do"]
    assert limit["places"] == ["Garage"]


def test_what_the_client_can_do_is_worded_by_the_purpose(made: Walk) -> None:
    made.visit.purpose = "end_of_warranty"
    made.visit.save()
    made.record(lim={"kind": "limit", "reason": "locked", "reach": ["s-gar"]})

    limit = place(made.told(), "Garage")["limits"][0]

    assert "before the warranty ends" in limit["what_you_can_do"]
    assert "close" not in limit["what_you_can_do"]


def test_a_reason_for_a_whole_system_stands_with_the_house(made: Walk) -> None:
    made.record(
        lim={
            "kind": "limit",
            "reason": "utility_off",
            "text": "the power",
            "reach": ["system:electrical"],
        }
    )

    limit = next(one for one in made.told()["limits"] if "the power" in one["reason"])

    assert limit["text"].startswith("Electrical")
    assert "return visit before you close" in limit["what_you_can_do"]


def test_a_look_from_further_away_says_why(made: Walk) -> None:
    made.record(
        **{
            "s-attic": {
                "kind": "stop",
                "name": "Attic",
                "stop_kind": "attic",
                "pos": "h",
                "method": "from_hatch",
                "method_reason": "no boards to walk on",
            }
        }
    )

    attic = place(made.told(), "Attic")

    assert attic["method_words"] == "From the hatch. No boards to walk on."
    assert attic["limits"][0]["text"] == "Parts that cannot be seen from the hatch"
    assert attic["limits"][0]["reason"] == "No boards to walk on."


def test_a_place_that_was_left_out_is_named_whole(made: Walk) -> None:
    made.record(
        **{
            "s-attic": {
                "kind": "stop",
                "name": "Attic",
                "stop_kind": "attic",
                "pos": "h",
                "method": "not_done",
            }
        }
    )
    made.record(lim={"kind": "limit", "reason": "locked", "reach": ["s-attic"]})

    attic = place(made.told(), "Attic")

    assert attic["method_words"] == "Not looked at."
    assert [one["text"] for one in attic["limits"]] == ["Attic"]


def test_without_a_word_of_leaving_the_last_closed_stop_tells(made: Walk) -> None:
    made.own(arrived_at="2026-11-20T14:00:00Z")

    # The stops of the walked visit were closed at 16:00 UTC on November 20.
    assert made.told()["visit"]["left_local"] == "11:00 a.m."


def test_what_was_not_to_be_seen_or_reached_is_told_at_its_place(made: Walk) -> None:
    made.record(
        **{
            "o-1": {
                "kind": "observation",
                "stop": "s-out",
                "item": "service_drop",
                "what": "drip_loop",
                "answer": "could_not_see",
                "text": "hidden by the gutter",
            },
            "s-bed": {"receptacles_not_reachable": 1},
        }
    )
    told = made.told()

    outside = place(told, "Outside loop")["limits"][0]
    assert (outside["text"], outside["reason"]) == (
        "Drip loop",
        "Hidden by the gutter.",
    )
    assert place(told, "Bedroom")["limits"][0]["text"] == "1 receptacle"


def test_a_very_long_list_of_items_is_cut_into_several_not_shortened(
    made: Walk,
) -> None:
    duties = [d.id for d in made.seen().pack.duties if d.system == "electrical"]
    made.record(lim={"kind": "limit", "reason": "snow", "reach": duties})

    texts = [one["text"] for one in made.told()["limits"] if "now lay" in one["reason"]]

    assert len(texts) > 1
    assert all(len(text) <= 400 for text in texts)
    joined = " ".join(texts).lower()
    assert all(
        d.item.lower() in joined
        for d in made.seen().pack.duties
        if d.system == "electrical"
    )


def test_a_hazard_says_who_was_told_and_what_was_left_off(made: Walk) -> None:
    made.record(
        hz={
            "kind": "hazard",
            "stop": "s-svc",
            "what": "live metal behind an open space",
            "told": "Dana Whitlow",
            "told_at": "2026-11-24T16:55:00Z",
            "left_off": "the room's door was closed",
        }
    )

    told = made.told()

    assert told["urgent"][0] == {
        "what": "Live metal behind an open space.",
        "told": "Dana Whitlow",
        "told_local": "November 24, 2026, 11:55 a.m.",
        "left_off": "the room's door was closed",
        "finding": None,
    }
    assert "Told on the spot" in " ".join(told["disclosures"])


def test_what_was_said_and_left_is_told(made: Walk) -> None:
    made.record(
        talk={
            "kind": "told",
            "text": "We spoke about the panel",
            "present": "Dana Whitlow",
            "promised": "the report by Friday",
        },
        heard={
            "kind": "observation",
            "stop": "s-out",
            "text": "the roof was laid in 2004",
            "how_known": "told",
        },
        left={
            "kind": "as_left",
            "what": "Breaker 18",
            "left": "off",
            "put_back": False,
        },
    )

    told = made.told()

    assert told["told"][0] == {
        "text": "We spoke about the panel. The report by Friday.",
        "by": "Ines Field",
        "to": "Dana Whitlow",
    }
    assert told["told"][1]["text"] == "The roof was laid in 2004."
    assert told["as_left"][0]["put_back"] is False
    assert "did not check it" in " ".join(told["disclosures"])


def test_the_day_is_told_in_the_houses_own_time(made: Walk) -> None:
    made.own(
        arrived_at="2026-11-24T14:02:00Z",
        left_at="2026-11-24T17:31:00Z",
        weather_now="cloudy",
        rain_three_days="yes",
        temp_out_f=51,
        front_faces="north",
        occupied="occupied",
        attended=[{"name": "Dana Whitlow", "as": "client"}],
        built_year=1970,
        built_year_to=1975,
        built_source="judged",
    )

    told = made.told()
    visit = told["visit"]

    assert (visit["arrived_local"], visit["left_local"]) == ("9:02 a.m.", "12:31 p.m.")
    assert visit["date_local"] == "November 24, 2026"
    assert visit["weather"]["lately"] == "rain within the last three days"
    assert visit["weather"]["outside"] == "51 °F"
    assert visit["attended"] == [{"name": "Dana Whitlow", "role": "client"}]
    assert told["property"]["built"] == {
        "text": "between 1970 and 1975",
        "source": "what was seen, judged",
    }
    said = " ".join(told["disclosures"])
    assert "What this report says held between 9:02 a.m." in said
    assert "comes from: what was seen, judged." in said


def test_claims_about_money_are_made_only_where_the_firm_says_so(made: Walk) -> None:
    said = " ".join(made.told()["disclosures"])
    assert "referral" not in said

    firm = made.cast.northside
    firm.policy = {"disclosures": ["referral", "no_repairs"]}
    firm.save()
    told = made.told()["disclosures"]
    assert any("take nothing for a referral" in line for line in told)
    assert any("does the repairs" in line for line in told)


def _aged(made: Walk, name: str, **fields: Any) -> Finding:
    topic = fields.pop("topic", "surge")
    proposal = {"topic": topic, "outcome": fields.pop("outcome", "met_then_safer_now")}
    return made.finding(
        name,
        rule="elec.afci",
        proposal=proposal,
        stop=made.id("s-bed"),
        age_note="This became usual after the house was built.",
        **fields,
    )


def test_what_only_the_date_decides_is_told_in_one_box_by_topic(made: Walk) -> None:
    _aged(made, "a", consequence="old_for_kind", places=["Bedroom"])
    _aged(made, "b", consequence="upkeep", places=["Kitchen"])
    _aged(made, "c", consequence="old_for_kind", places=["Garage"], topic="shutters")

    told = made.told()

    assert told["findings"] == []
    assert [one["title"] for one in told["older_rules"]] == [
        "Receptacles with shutters",
        "Surge protection",
    ]
    first = told["older_rules"][1]
    assert first["text"].count("This became usual after the house was built.") == 1
    assert "Here: Bedroom and Kitchen." in first["text"]
    assert first["settle"]


def test_what_can_hurt_stays_a_finding_with_its_note_on_age(made: Walk) -> None:
    row = _aged(made, "a", consequence="could_hurt", places=["Bedroom"])

    told = made.told()

    assert [one["id"] for one in told["findings"]] == [str(row.pk)]
    assert told["findings"][0]["age_note"] == row.age_note
    assert told["findings"][0]["in_front"]
    assert told["older_rules"] == []


def test_proposals_without_an_answer_never_appear(made: Walk) -> None:
    assert made.seen().undecided

    told = made.told()

    assert told["findings"] == []
    assert told["older_rules"] == []


def test_work_of_a_trainee_is_disclosed(made: Walk) -> None:
    Visit.objects.filter(pk=made.visit.pk).update(inspector=made.cast.trainee.member)
    made.cast.trainee.member.roles = ["TRAINEE", "INSPECTOR"]
    made.cast.trainee.member.save()
    made.record(made.cast.trainee, note={"kind": "note", "text": "Cover back on."})
    Visit.objects.filter(pk=made.visit.pk).update(inspector=made.cast.ines.member)

    line = "Tova Trainee, who is in training, took part in the visit."
    assert line in made.told()["disclosures"]


@dataclass(frozen=True)
class Asked:
    reason: str
    asked_by: str


def test_a_correction_says_what_it_replaces_and_what_changed(cast: Cast) -> None:
    made = walk(cast)
    made.clients("Dana Whitlow")
    made.decide("not_here", reason="already_covered")
    made.hand_in()
    review = {"state": Finding.State.IN_REVIEW}
    kept = made.finding("a", stop=made.id("s-bed"), places=["Bedroom"], **review)
    lit = {"stop": made.id("s-kit"), "places": ["Kitchen"], "item": "light"}
    gone = made.finding("b", **lit, **review)
    made.check_words()
    made.sign()
    first = _freeze(made)
    gone.refresh_from_db()
    gone.state = Finding.State.WITHDRAWN
    gone.save()
    kept.refresh_from_db()
    kept.timing = "first_year"
    kept.save()
    made.finding("c", stop=made.id("s-gar"), places=["Garage"], item="switch")

    told = made.told(
        IssueIn(
            issue=2,
            issued_at=NOW,
            replaces=replaced(first, Asked("the light was another's", "CLIENT")),
            chain_seq=8,
            chain_prev="cd" * 32,
        )
    )["replaces"]

    assert (told["issue"], told["issued_local"]) == (1, "November 24, 2026")
    assert (told["reason"], told["asked_by"]) == (
        "the light was another's",
        "the client",
    )
    said = told["changes"]
    assert "Finding 1 is new: Garage, switch." in said
    assert "No longer a finding: Kitchen, light." in said
    assert any("Finding 2 (Bedroom, receptacle): it said" in one for one in said)
    assert not any("alarms" in one for one in said)


def _freeze(made: Walk) -> Release:
    raw = build(actor=made.cast.reviewer.actor, visit=made.visit, issue=FIRST_ISSUE)
    signed = made.visit.sign_offs.get(kind="SIGNED", undone_at__isnull=True)
    return Release.objects.create(
        firm=made.cast.northside,
        visit=made.visit,
        number=made.visit.number,
        issue=1,
        snapshot=raw,
        snapshot_sha256=canonical.digest(raw),
        signature=signed,
        asked_for_by=made.cast.reviewer.member,
        frozen_at=NOW,
    )
