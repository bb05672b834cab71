"""Push, changes and manifest over HTTP: shapes, limits, and who gets what answer."""

import hashlib
import json
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from inspections.models import LogRow, Visit
from inspections.selectors.changes import digest_of
from tests.support.cast import Cast, Person
from tests.support.visits import make_visit, mutation

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(cast: Cast) -> Visit:
    return make_visit(cast.ines)


def body(*mutations: Any, **more: Any) -> dict[str, Any]:
    return {
        "req": "r-1",
        "device": str(uuid4()),
        "client": "2026.11.3",
        "now": "2026-11-24T15:04:00Z",
        "mutations": list(mutations),
    } | more


def post(person: Person, visit_id: Any, sent: Any) -> Any:
    return person.client().post(
        f"/api/sync/v1/visits/{visit_id}/push",
        sent if isinstance(sent, str) else json.dumps(sent),
        content_type="application/json",
    )


def get(person: Person, visit: Visit, what: str) -> Any:
    return person.client().get(f"/api/sync/v1/visits/{visit.pk}/{what}")


def test_a_push_answers_every_mutation(cast: Cast, visit: Visit) -> None:
    answer = post(
        cast.ines, visit.pk, body(mutation(1, "kind", "stop"), mutation(2, "x", 1))
    )

    assert answer.status_code == 200
    said = answer.json()
    assert (said["sync"], said["req"], said["version"]) == (1, "r-1", 2)
    assert [result["s"] for result in said["results"]] == ["ok", "quarantined"]
    assert said["results"][1]["why"] == "x: an unknown field"
    assert (
        said["incarnation"]
        == cast.ines.client().get("/api/session").json()["incarnation"]
    )


def test_an_empty_push_answers_the_version(cast: Cast, visit: Visit) -> None:
    assert post(cast.ines, visit.pk, body()).json()["version"] == 0


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        ("[]", None),
        ("{", None),
        ("[" * 5000, None),
        ('{"req": NaN}', None),
        (body(device="x"), "device"),
        (body(mutations="x"), "mutations"),
        (body(req=None), "req"),
        (body(7), "mutations.0"),
        (body(mutation(1, "kind", "stop"), {"seq": 2}), "mutations.1.id"),
    ],
)
def test_what_cannot_be_read_names_the_part(
    cast: Cast, visit: Visit, sent: Any, field: str | None
) -> None:
    answer = post(cast.ines, visit.pk, sent)

    assert answer.status_code == 400
    assert set(answer.json()) == {"code", "message", "field", "details"}
    if field:
        assert answer.json()["field"].startswith(field)
    assert LogRow.objects.count() == 0


def test_a_batch_over_the_limits_is_too_large(cast: Cast, visit: Visit) -> None:
    many = body(*(mutation(n, "kind", "stop") for n in range(1, 102)))
    heavy = body(mutation(1, "text", "x" * 300_000))

    for sent in (many, heavy):
        answer = post(cast.ines, visit.pk, sent)
        assert (answer.status_code, answer.json()["code"]) == (413, "too-large")
    assert LogRow.objects.count() == 0


def test_who_is_answered_what(cast: Cast, visit: Visit) -> None:
    sent = json.dumps(body(mutation(1, "kind", "stop")))
    url = f"/api/sync/v1/visits/{visit.pk}/push"

    signed_out = Client().post(url, sent, content_type="application/json")
    assert signed_out.status_code == 401
    assert signed_out["WWW-Authenticate"] == "Session"
    stale = cast.ines.client(enforce_csrf_checks=True).post(
        url, sent, content_type="application/json"
    )
    assert (stale.status_code, stale.json()["code"]) == (403, "csrf")
    for person in (cast.owner, cast.reviewer, cast.scheduler):
        answer = post(person, visit.pk, sent)
        assert (answer.status_code, answer.json()["code"]) == (403, "not-allowed")
    for person in (cast.omar, cast.stranger):
        foreign, unknown = post(person, visit.pk, sent), post(person, uuid4(), sent)
        assert foreign.status_code == unknown.status_code == 404
        assert foreign.content == unknown.content
    assert LogRow.objects.count() == 0


@pytest.mark.parametrize("what", ["changes", "manifest"])
def test_who_may_read_what_was_recorded(cast: Cast, visit: Visit, what: str) -> None:
    for person in (cast.ines, cast.owner, cast.reviewer):
        assert get(person, visit, what).status_code == 200
    assert get(cast.scheduler, visit, what).status_code == 403
    for person in (cast.omar, cast.trainee, cast.stranger):
        assert get(person, visit, what).status_code == 404


def test_changes_come_in_pages_and_include_what_was_set_apart(
    cast: Cast, visit: Visit
) -> None:
    sent = [mutation(n, "kind", "stop") for n in (1, 2)]
    sent += [mutation(3, "x", 1), mutation(4, "label", "nul \x00")]
    post(cast.ines, visit.pk, body(*sent))

    first = get(cast.ines, visit, "changes?after=0&limit=3").json()
    rest = get(cast.ines, visit, "changes?after=3&limit=3").json()

    both = first["changes"] + rest["changes"]
    assert [change["v"] for change in both] == [1, 2, 3, 4]
    assert (first["more"], rest["more"], rest["version"]) == (True, False, 4)
    assert [c["id"] for c in first["changes"]] == [m["id"] for m in sent[:3]]
    assert first["changes"][2]["status"] == "quarantined"
    assert "nul \\u0000" in rest["changes"][0]["raw"]
    assert get(cast.ines, visit, "changes?after=4").json()["changes"] == []


@pytest.mark.parametrize("query", ["after=-1", "after=x", "limit=0", "limit=1001"])
def test_a_bad_query_names_its_part(cast: Cast, visit: Visit, query: str) -> None:
    answer = get(cast.ines, visit, f"changes?{query}")

    assert answer.status_code == 400
    assert answer.json()["field"] == query.split("=", maxsplit=1)[0]


def test_the_manifest_equals_what_a_phone_works_out(cast: Cast, visit: Visit) -> None:
    photo = mutation(1, "kind", "photo")
    sent = [photo, mutation(2, "sha256", "a" * 64, rec=photo["rec"])]
    post(cast.ines, visit.pk, body(*sent, mutation(3, "x", 1)))
    feed = get(cast.ines, visit, "changes").json()["changes"]

    held = get(cast.ines, visit, "manifest").json()

    lines = "".join(f"{change['id']}\n" for change in feed)
    assert held["digest"] == hashlib.sha256(lines.encode()).hexdigest()
    assert held["digest"] == digest_of(change["id"] for change in feed)
    assert (held["version"], held["count"]) == (3, 3)
    assert held["photos"] == [
        {
            "id": photo["rec"], "sha256": "a" * 64, "size": None, "stored": False,
            "of": None,
        }
    ]  # fmt: skip


def test_a_member_takes_their_visits_along(cast: Cast, visit: Visit) -> None:
    make_visit(cast.omar, "R-2026-0002")

    def numbers(person: Person) -> list[str]:
        return [v["number"] for v in person.client().get("/api/v1/visits").json()]

    assert numbers(cast.ines) == ["R-2026-0001"]
    assert set(numbers(cast.scheduler)) == {"R-2026-0001", "R-2026-0002"}
    assert numbers(cast.stranger) == numbers(cast.trainee) == []


def test_a_visit_is_read_with_its_stops(cast: Cast, visit: Visit) -> None:
    kind = mutation(1, "kind", "stop")
    post(cast.ines, visit.pk, body(kind, mutation(2, "name", "Attic", rec=kind["rec"])))
    url = f"/api/v1/visits/{visit.pk}"

    said = cast.ines.client().get(url).json()

    assert said["property"]["street"] == "12 Sawmill Row"
    assert [stop["name"] for stop in said["stops"]] == ["Attic"]
    assert (said["records"], said["status"]) == (True, "UNDER_WAY")
    assert "referred_by" not in said
    assert cast.scheduler.client().get(url).json()["stops"] == []
    assert cast.stranger.client().get(url).status_code == 404
