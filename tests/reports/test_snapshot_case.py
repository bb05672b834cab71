"""What the firm keeps of how each finding came about."""

from __future__ import annotations

import json

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from firm import canonical
from reports.services.snapshot.build import case_file
from tests.support.cast import Cast
from tests.support.walked import Walk, space, walk

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(cast: Cast) -> Walk:
    walked = walk(cast)
    walked.clients("Dana Whitlow")
    return walked


def test_a_used_proposal_keeps_its_facts_rule_source_and_trace(made: Walk) -> None:
    made.decide("use")
    made.finish()

    held = case_file(made.cast.owner.actor, made.visit)

    about = [
        one
        for one in held["findings"]
        if one["proposal"] and one["proposal"]["subject"] == made.id("sp-13")
    ]
    found = about[0]
    proposal = found["proposal"]
    facts = {(one["record"], one["field"]) for one in proposal["facts"]}
    assert {(made.id("sp-13"), "amps"), (made.id("sp-13"), "size")} <= facts
    assert found["rule"].startswith("elec.ocpd")
    assert found["rule_version"]
    assert proposal["source"]
    assert proposal["provenance"]
    assert proposal["trace"]
    assert found["decision"]["choice"] == "use"
    assert found["words"][0]["number"] == 1
    assert found["state"] == "SIGNED"


def test_what_was_set_aside_keeps_its_reason(made: Walk) -> None:
    made.decide("not_here", reason="mis_entered", reason_text="it reads 15 A")

    held = case_file(made.cast.owner.actor, made.visit)

    assert held["findings"] == []
    aside = [one for one in held["not_here"] if one["subject"] == made.id("sp-13")]
    assert aside[0]["decision"]["reason"] == "mis_entered"
    assert aside[0]["decision"]["reason_text"] == "it reads 15 A"
    assert aside[0]["facts"]
    assert [one["reason"] for one in held["decisions"]] == ["mis_entered"]


def test_it_is_plain_json_and_says_its_versions(made: Walk) -> None:
    made.picture("ph-mine", stop="s-kit", use="for_me")

    held = case_file(made.cast.owner.actor, made.visit)

    assert json.loads(json.dumps(held)) == held
    assert canonical.digest(held)
    assert held["versions"]["pack"] == "NC 1"
    assert held["versions"]["ruleset"]
    assert held["versions"]["pack_edition"]
    assert [one["photo"] for one in held["kept_photos"]] == [made.id("ph-mine")]
    assert {row["duty"] for row in held["ledger"]} >= {"NC-EL-007", "NC-EL-025"}
    assert held["undecided"]


def test_the_number_of_queries_does_not_grow(made: Walk) -> None:
    made.finding("a", stop=made.id("s-bed"), places=["Bedroom"])
    few = _queries(made)
    made.record(**{"sp-15": space(15), "sp-17": space(17)})
    for number in range(5):
        made.finding(f"x{number}", stop=made.id("s-kit"), places=["Kitchen"])

    assert _queries(made) == few


def _queries(made: Walk) -> int:
    with CaptureQueriesContext(connection) as held:
        case_file(made.cast.owner.actor, made.visit)
    return len(held)
