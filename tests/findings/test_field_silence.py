"""Silent until a recorder is done; a surprising fact is confirmed before it counts."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from findings.selectors.evaluation import evaluate
from inspections.models import Visit
from tests.findings.test_field_panel_views import panel
from tests.support.cast import Cast
from tests.support.field import fill, records, started, url
from tests.support.visits import make_visit

pytestmark = pytest.mark.django_db
RULE = "elec.ocpd.small_conductor"
WIRE = {
    "space_kind": "breaker", "poles": "1", "size": "14", "material": "copper",
    "how": "read", "load": "general",
}  # fmt: skip


@pytest.fixture
def visit(cast: Cast) -> Visit:
    return make_visit(cast.ines)


@pytest.fixture
def client(cast: Cast) -> Client:
    return cast.ines.client()


def space(client: Client, visit: Visit, key: str, **typed: str) -> None:
    sent = fill(client, url("space-write", visit, key, 3), **(WIRE | typed))
    assert sent.status_code == 302, sent.context["form"].errors


def done(client: Client, visit: Visit, key: str, answer: str = "yes") -> None:
    client.post(url("panel-done", visit, key), {"map_done": answer})


def offered(client: Client, visit: Visit, key: str, rule: str = RULE) -> list[Any]:
    page = client.get(url("panel-map", visit, key)).context["page"]
    rows = (*page.proposals, *page.about_age)
    return [row for row in rows if row.key.startswith(rule)]


def everything(cast: Cast, visit: Visit) -> list[str]:
    return [one.rule for one in evaluate(cast.ines.actor, visit).proposals]


def test_a_panel_proposes_nothing_until_its_map_is_done(
    cast: Cast, visit: Visit, client: Client
) -> None:
    key = panel(cast, visit, client)
    space(client, visit, key, amps="30")
    assert everything(cast, visit) == []

    done(client, visit, key)
    assert [row.asks for row in offered(client, visit, key)] == [False]
    done(client, visit, key, "no")
    assert everything(cast, visit) == []


@pytest.mark.parametrize("left_out", ["amps", "size", "material"])
def test_half_of_a_space_proposes_nothing_even_when_done(
    cast: Cast, visit: Visit, client: Client, left_out: str
) -> None:
    key = panel(cast, visit, client)
    space(client, visit, key, **({"amps": "30"} | {left_out: ""}))
    done(client, visit, key)

    assert [row for row in offered(client, visit, key) if not row.asks] == []


def test_a_receptacle_proposes_nothing_until_its_stop_is_left(
    cast: Cast, visit: Visit, client: Client
) -> None:
    stop = started(cast, visit, client)["Kitchen"]
    told = {"place": "left of the sink", "lamps": ["hot_neutral"], "contacts": "three",
            "repeated": "on"}  # fmt: skip
    fill(client, url("receptacle-write", visit, stop, uuid4()), **told)
    assert everything(cast, visit) == []

    client.get(url("stop-leave", visit, stop))
    client.post(url("stop-close", visit, stop), {"reason": "one room"})
    assert "elec.tester.decode" in everything(cast, visit)


def test_a_surprising_value_asks_first_and_cannot_be_used(
    cast: Cast, visit: Visit, client: Client
) -> None:
    key = panel(cast, visit, client)
    space(client, visit, key, amps="200")
    done(client, visit, key)

    (row,) = offered(client, visit, key)
    assert row.asks
    assert "is it typed right?" in row.asks_why
    assert row.confirms == "Yes, 200 A"
    shown = client.get(url("panel-map", visit, key)).content.decode()
    assert 'value="use"' not in shown
    client.post(row.decide_url, {"key": row.key, "choice": "use"})
    assert records(cast, visit, "decision") == {}


def test_confirmed_it_is_proposed_and_still_waits_for_an_answer(
    cast: Cast, visit: Visit, client: Client
) -> None:
    key = panel(cast, visit, client)
    space(client, visit, key, amps="200")
    done(client, visit, key)
    (row,) = offered(client, visit, key)
    client.post(row.decide_url, {"key": row.key, "choice": "typed_right"})

    (now,) = offered(client, visit, key)
    assert (now.key, now.asks, now.hazard) == (row.key, False, True)
    assert now.key in {one.key for one in evaluate(cast.ines.actor, visit).undecided}
    # Another value is asked about anew: what was confirmed was that one.
    space(client, visit, key, amps="300")
    (again,) = offered(client, visit, key)
    assert again.confirms == "Yes, 300 A"


def test_what_is_not_asked_cannot_be_confirmed(
    cast: Cast, visit: Visit, client: Client
) -> None:
    key = panel(cast, visit, client)
    space(client, visit, key, amps="30")
    done(client, visit, key)
    (row,) = offered(client, visit, key)
    sent = {"key": row.key, "choice": "typed_right"}
    page = client.post(row.decide_url, sent, follow=True)

    assert b"Nothing is asked about this value any more" in page.content
    assert records(cast, visit, "typed_right") == {}
