"""What a firm decided about rules: off, another level, a rule of its own."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import pytest
from django.db import DatabaseError, connection, transaction
from django.test.utils import CaptureQueriesContext

from findings.models import Finding, RuleRuling
from findings.rules import engine, loader, own
from findings.rules.engine import Outcome
from findings.rules.rule import Rule
from findings.rules.ruling import Ruling
from findings.rules.rulings import of_firm
from findings.rules.yamlfile import RuleFileError
from findings.selectors.evaluation import evaluate
from findings.selectors.rulings import kinds
from tests.findings.rulings import OWN_TEXT, ruling
from tests.support.cast import Cast
from tests.support.visits import STARTS
from tests.support.walked import Walk, space, walk

SMALL = "elec.ocpd.small_conductor"
BASE = loader.ruleset()


@pytest.fixture
def walked(cast: Cast) -> Walk:
    return walk(cast)


def offered(walked: Walk) -> dict[str, object]:
    return {one.rule: one for one in walked.seen().proposals}


@pytest.mark.django_db
def test_a_rule_switched_off_never_proposes_and_comes_back_with_on(
    walked: Walk, cast: Cast
) -> None:
    assert SMALL in offered(walked)

    ruling(cast.owner, SMALL, "OFF")
    assert SMALL not in offered(walked)

    ruling(cast.owner, SMALL, "ON")
    assert offered(walked)[SMALL].rule_version == "1"  # type: ignore[attr-defined]


@pytest.mark.django_db
def test_what_was_used_before_a_rule_went_off_stays_and_nothing_new_comes(
    walked: Walk, cast: Cast
) -> None:
    walked.decide("use")
    ruling(cast.owner, SMALL, "OFF")
    walked.hand_in()
    made = Finding.objects.get(rule=SMALL)
    walked.record(**{"sp-15": space(15, load="kitchen", material="aluminium")})
    walked.hand_in()
    made.refresh_from_db()

    assert made.state == Finding.State.IN_REVIEW
    assert [one.rule for one in walked.seen().undecided if one.rule == SMALL] == []


@pytest.mark.django_db
def test_another_visit_of_the_firm_is_offered_nothing_by_a_rule_that_is_off(
    walked: Walk, cast: Cast
) -> None:
    walked.decide("use")
    ruling(cast.owner, SMALL, "OFF")
    later = walk(cast, number="R-2026-0002", starts=STARTS + timedelta(days=1))

    assert SMALL not in offered(later)
    assert SMALL in offered(walked)


@pytest.mark.django_db
def test_a_level_of_the_firm_stands_with_its_reason_and_hides_no_hazard(
    walked: Walk, cast: Cast
) -> None:
    before = {one.rule: one for one in walked.seen().proposals}[SMALL]
    assert before.hazard
    assert before.consequence == "could_hurt"

    ruling(cast.owner, SMALL, "OFF")
    ruling(
        cast.owner,
        SMALL,
        "LEVEL",
        consequence="upkeep",
        timing="watch",
        reason="we saw ten of these",
    )
    after = {one.rule: one for one in walked.seen().proposals}[SMALL]

    assert (after.consequence, after.timing) == ("upkeep", "watch")
    assert after.trade == before.trade
    assert after.hazard
    assert after.rule_version == "1+firm2"
    assert after.ruling == "The firm set this level: we saw ten of these"
    assert after.ruling in after.why
    assert after.trace[-1].startswith("ruling 2 of the firm: upkeep, watch")


@pytest.mark.django_db
def test_the_level_is_frozen_in_what_was_used(walked: Walk, cast: Cast) -> None:
    ruling(cast.owner, SMALL, "LEVEL", timing="today", reason="at once, always")
    walked.decide("use")
    walked.hand_in()
    row = Finding.objects.get(rule=SMALL)

    assert row.rule_version == "1+firm1"
    assert row.timing == "today"
    assert "at once, always" in row.proposal["ruling"]  # type: ignore[index]
    assert "ruling 1" in row.proposal["trace"][-1]  # type: ignore[index]


@pytest.mark.django_db
def test_a_rule_of_the_firms_own_proposes_and_can_be_switched_off(
    walked: Walk, cast: Cast
) -> None:
    ruling(cast.owner, "own.large_breaker", "OWN", definition=OWN_TEXT)
    found = {one.rule: one for one in walked.seen().proposals}["own.large_breaker"]

    assert found.title == "A large breaker to ask about"
    assert found.rule_version == "1"
    assert not found.firm_only

    ruling(cast.owner, "own.large_breaker", "OFF")
    assert "own.large_breaker" not in offered(walked)


@pytest.mark.django_db
def test_what_one_firm_decides_says_nothing_to_another(
    walked: Walk, cast: Cast
) -> None:
    with cast.inside(cast.elsewhere):
        ruling(cast.stranger, SMALL, "OFF")
    with cast.inside():
        assert SMALL in offered(walked)


@pytest.mark.django_db
def test_an_own_rule_that_breaks_is_listed_and_the_others_stay(
    walked: Walk, cast: Cast
) -> None:
    broken = OWN_TEXT.replace("amps >= 20", "amperes >= 20")
    ruling(cast.owner, "own.broken", "OWN", definition=broken)
    ruling(cast.owner, "own.whole", "OWN", definition=OWN_TEXT)
    seen = walked.seen()

    assert "own.whole" in {one.rule for one in seen.proposals}
    assert "own.broken" not in seen.rules.rules
    said = seen.rules.broken["own.broken"]
    assert "line 10" in said
    assert "reads 'amperes', which nobody gives" in said


@pytest.mark.django_db
def test_an_own_rule_that_fails_on_what_is_recorded_says_so_and_stops_nothing(
    walked: Walk, cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    ruling(cast.owner, "own.large", "OWN", definition=OWN_TEXT)
    run = engine.run

    def failing(rule: Rule, given: Any, *rest: Any) -> Outcome:
        # Knowing nothing it runs, as when it was written.
        if rule.id == "own.large" and given:
            raise TypeError("an amount of nothing")
        return run(rule, given, *rest)

    monkeypatch.setattr(engine, "run", failing)
    found = {one.rule: one for one in walked.seen().proposals}

    assert SMALL in found
    assert found["own.large"].consequence == ""
    assert found["own.large"].why.endswith("worked out: an amount of nothing")


@pytest.mark.django_db
def test_the_firms_reason_never_reaches_the_client(walked: Walk, cast: Cast) -> None:
    ruling(cast.owner, SMALL, "LEVEL", timing="today", reason="xyzzy of ours")
    walked.clients("Ada Buyer")
    walked.decide("use")
    walked.finish()

    told = json.dumps(walked.told())
    assert "xyzzy" not in told
    assert "The firm set this level" not in told


@pytest.mark.django_db
def test_evaluating_asks_the_database_as_often_whatever_was_decided(
    walked: Walk, cast: Cast
) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as asked:
            evaluate(cast.ines.actor, walked.visit)
        return len(asked)

    before = queries()
    for number in range(6):
        ruling(cast.owner, f"own.n{number}", "OWN", definition=OWN_TEXT)
        ruling(cast.owner, SMALL, "LEVEL", timing="today")

    assert queries() == before


@pytest.mark.django_db
def test_a_ruling_is_never_changed_nor_taken_away(cast: Cast) -> None:
    row = ruling(cast.owner, SMALL, "OFF")

    for work in (
        lambda: RuleRuling.objects.filter(pk=row.pk).update(kind="ON"),
        lambda: RuleRuling.objects.filter(pk=row.pk).delete(),
        lambda: ruling(cast.owner, SMALL, "ON", reason=""),
    ):
        with pytest.raises(DatabaseError), transaction.atomic():
            work()


@pytest.mark.parametrize(
    ("before", "after", "line", "key", "says"),
    [
        ("record: space", "recrd: space", 7, "recrd", "not a key known here"),
        ("record: space", "record: spaces", 7, "record", "no visit holds"),
        ("inputs: {amps: amps}", "inputs: {amps: amp}", 9, "amps", "no field 'amp'"),
        ("space_kind: [", "space_king: [", 8, "space_king", "no field"),
        ("amps >= 20", "amps >>> 20", 11, "when", "cannot read"),
        ("trade: electrician", "trade: wizard", 15, "trade", "cannot stand here"),
        ("source:", "id: own.x\nsource:", 20, "id", "leave it out"),
        ("low: 1", "low: &a 1", 5, "rule", "not read here"),
        ("status: found", "status: believed", 21, "status", "cannot stand"),
        ("    trade: electrician\n", "", 11, "trade", "is missing"),
        ("kind: number", "kind: [number]", 5, "kind", "cannot stand"),
        ("kind: number", "kind: {number: 1}", 5, "kind", "cannot stand"),
        ("rows:", "history: [{year: soon, text: x}]\nrows:", 10, "year", "whole"),
        ("rows:", "let: 5\nrows:", 10, "let", "named values"),
        ("low: 1", "low: {a: 1}", 5, "low", "number"),
        ("low: 1", "choices: 5", 5, "choices", "list"),
        ("topic:", "dates: {amps: built}\ntopic:", 2, "amps", "neither a year"),
        ("title: A large", "title: [A]\n#", 3, "title", "cannot stand"),
    ],
)
def test_a_mistake_names_line_and_key(
    before: str, after: str, line: int, key: str, says: str
) -> None:
    text = OWN_TEXT.replace(before, after, 1)
    assert text != OWN_TEXT

    with pytest.raises(RuleFileError) as caught:
        own.read(text, "own.x", 1, BASE.tables, kinds())

    assert (caught.value.line, caught.value.key) == (line, key), caught.value
    assert says in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "- a\n- b",
        "{",
        "a: " + "[" * 300 + "]" * 300,
        "\x00",
        "a: !!python/object:os.system {}",
        "rows: 5\nsystem: 1\ntitle: 2\nsource: 3\nprovenance: 4",
        OWN_TEXT.replace("amps >= 20", "(" * 3000 + "amps" + ")" * 3000),
        OWN_TEXT.replace("amps >= 20", "-" * 3000 + "amps > 1"),
        OWN_TEXT.replace("inputs: {amps: amps}", "inputs: 5"),
        OWN_TEXT.replace("inputs: {amps: amps}", "inputs: {amps: {field: {a: 1}}}"),
        OWN_TEXT.replace("rows:", "rows: &r\n  - *r\nmore:"),
        OWN_TEXT.replace("rows:", "asks: [5]\nrows:"),
        OWN_TEXT.replace(
            "rows:", "derive: {x: {by: oldest, from: [amps, amps]}}\nrows:"
        ),
    ],
)
def test_whatever_is_written_is_read_or_refused_with_a_place(text: str) -> None:
    with pytest.raises(RuleFileError, match="line"):
        own.read(text, "own.x", 1, BASE.tables, kinds())


def test_the_same_rulings_give_the_same_rules() -> None:
    one = Ruling("own.x", 1, "OWN", "why", definition=OWN_TEXT)
    two = Ruling(SMALL, 1, "OFF", "why")
    first, again = (
        of_firm(BASE, [one, two], kinds()),
        of_firm(BASE, [two, one], kinds()),
    )

    assert first is again
    assert first.version != BASE.version
    assert of_firm(BASE, [], kinds()) is BASE
    # What was read once keeps its identity, by which kept outcomes are found.
    assert of_firm(BASE, [one], kinds()).rules["own.x"] is first.rules["own.x"]
