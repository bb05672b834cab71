"""Repeats of what was set aside twice: folded, answered by one tap, recorded."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from findings.selectors.evaluation import evaluate
from inspections.models import Visit
from reports.selectors.gate import blockers
from tests.support.cast import Cast
from tests.support.field import fill, records, started, url
from tests.support.visits import make_visit

pytestmark = pytest.mark.django_db
REASON = "could_not_see_enough"


@pytest.fixture
def visit(cast: Cast) -> Visit:
    return make_visit(cast.ines)


@pytest.fixture
def client(cast: Cast) -> Client:
    return cast.ines.client()


@pytest.fixture
def attic(cast: Cast, visit: Visit, client: Client) -> str:
    return started(cast, visit, client)["Attic"]


def damp(client: Client, visit: Visit, stop: str, *places: str) -> None:
    """Wet wood at places: harm to the building, not a hazard."""
    for place in places:
        told = {"reading_pct": "24", "how_known": "measured", "place": place}
        sent = fill(client, url("item-write", visit, stop, "wood_moisture"), **told)
        assert sent.status_code == 302, sent.context["form"].errors


def bare(client: Client, visit: Visit, stop: str, *places: str) -> None:
    """Boxes without a cover: a hazard."""
    for place in places:
        told = {"box_kind": "junction", "cover": "missing", "place": place}
        sent = fill(client, url("item-write", visit, stop, "box"), **told)
        assert sent.status_code == 302, sent.context["form"].errors


def page(client: Client, visit: Visit, stop: str) -> Any:
    return client.get(url("stop-read", visit, stop)).context["page"]


def aside(client: Client, row: Any, reason: str = REASON) -> None:
    sent = {"key": row.key, "choice": "not_here", "reason": reason}
    assert client.post(row.decide_url, sent).status_code == 302


def twice(client: Client, visit: Visit, stop: str, record: Any) -> None:
    """Set two proposals aside, one after the other, for one reason."""
    for place in ("rafter one", "rafter two"):
        record(client, visit, stop, place)
        (row,) = page(client, visit, stop).proposals
        assert row.places == (f"Attic, {place}",)
        aside(client, row)


def test_an_answer_covers_what_stood_there_and_nothing_that_comes_later(
    cast: Cast, visit: Visit, client: Client, attic: str
) -> None:
    damp(client, visit, attic, "rafter one", "rafter two")
    (row,) = page(client, visit, attic).proposals
    assert len(row.places) == 2
    aside(client, row)
    assert page(client, visit, attic).proposals == ()

    damp(client, visit, attic, "rafter three")
    seen = page(client, visit, attic)
    assert [one.places for one in seen.proposals] == [("Attic, rafter three",)]
    assert seen.repeats == ()  # one answer, however many places it was for


def test_the_same_reason_twice_folds_what_comes_later(
    cast: Cast, visit: Visit, client: Client, attic: str
) -> None:
    twice(client, visit, attic, damp)
    damp(client, visit, attic, "rafter three")
    seen = page(client, visit, attic)

    assert seen.proposals == ()
    (line,) = seen.repeats
    assert (line.count, line.reason) == (1, REASON)
    shown = client.get(url("stop-read", visit, attic)).content.decode()
    assert "1 more like those you set aside" in shown
    assert "Set this aside too, same reason" in shown
    # Folded and still nobody's answer: the gate and the way out of the house say so.
    assert len(records(cast, visit, "decision")) == 2
    codes = [one.code for one in blockers(cast.owner.actor, visit)]
    assert codes.count("proposal-undecided") == 1
    assert not client.get(url("visit-leave", visit)).context["page"].can_hand_in


def test_one_tap_records_an_answer_for_each_and_is_taken_back(
    cast: Cast, visit: Visit, client: Client, attic: str
) -> None:
    twice(client, visit, attic, damp)
    damp(client, visit, attic, "rafter three")
    (line,) = page(client, visit, attic).repeats
    keys = [one.key for one in line.proposals]
    sent = {"key": keys, "choice": "not_here", "reason": line.reason}
    client.post(line.decide_url, sent)

    seen = evaluate(cast.ines.actor, visit)
    assert seen.undecided == ()
    assert {seen.decisions[key].reason for key in keys} == {REASON}
    client.post(line.decide_url, {"key": keys, "choice": "open"})
    (again,) = page(client, visit, attic).repeats
    assert [one.key for one in again.proposals] == keys


def test_a_folded_one_is_still_used_by_itself(
    cast: Cast, visit: Visit, client: Client, attic: str
) -> None:
    twice(client, visit, attic, damp)
    damp(client, visit, attic, "rafter three")
    (line,) = page(client, visit, attic).repeats
    (row,) = line.proposals
    client.post(row.decide_url, {"key": row.key, "choice": "use"})

    assert evaluate(cast.ines.actor, visit).decisions[row.key].choice == "use"
    assert page(client, visit, attic).repeats == ()


def test_different_reasons_quiet_nothing(
    cast: Cast, visit: Visit, client: Client, attic: str
) -> None:
    for place, reason in (("one", REASON), ("two", "mis_entered")):
        damp(client, visit, attic, place)
        aside(client, page(client, visit, attic).proposals[0], reason)
    damp(client, visit, attic, "three")

    assert len(page(client, visit, attic).proposals) == 1


def test_a_hazard_is_never_quiet(
    cast: Cast, visit: Visit, client: Client, attic: str
) -> None:
    twice(client, visit, attic, bare)
    bare(client, visit, attic, "rafter three")
    seen = page(client, visit, attic)

    assert [one.hazard for one in seen.proposals] == [True]
    assert seen.repeats == ()


def test_several_at_once_only_for_a_reason_given_twice(
    cast: Cast, visit: Visit, client: Client, attic: str
) -> None:
    damp(client, visit, attic, "rafter one")
    bare(client, visit, attic, "box one")
    rows = page(client, visit, attic).proposals
    keys = [row.key for row in rows]
    assert len(keys) == 2
    for choice in ("not_here", "use"):
        sent = {"key": keys, "choice": choice, "reason": REASON}
        answer = client.post(rows[0].decide_url, sent, follow=True)
        assert b"one by one" in answer.content
    client.post(rows[0].decide_url, {"key": ["x" * 200], "choice": "use"})
    client.post(rows[0].decide_url, {"choice": "use"})

    assert records(cast, visit, "decision") == {}
