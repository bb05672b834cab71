"""A trainee beside the inspector of a visit: records there, and nothing more."""

from __future__ import annotations

from typing import Any
from uuid import UUID, uuid4

import pytest
from django.urls import reverse

from firm.models import AuditEntry
from inspections.models import Companion, LogRow, Visit
from inspections.selectors.folded import folded
from inspections.services import companions
from tests.support.cast import Cast, Person
from tests.support.visits import make_visit, mutation, push, statuses

pytestmark = pytest.mark.django_db

AT = "2026-11-24T15:00:00Z"


@pytest.fixture
def visit(cast: Cast) -> Visit:
    return make_visit(cast.ines)


@pytest.fixture
def phone() -> UUID:
    return uuid4()


def named(cast: Cast, visit: Visit, person: Person) -> None:
    companions.name(actor=cast.scheduler.actor, visit=visit, member_id=person.member.pk)


def office(cast: Cast, visit: Visit, name: str, member: object, who: Any = None) -> Any:
    address = reverse(name, args=["northside", visit.pk])
    client = (who or cast.scheduler).client()
    return client.post(address, {"member": str(member)}, follow=True)


def test_the_office_names_a_trainee_and_takes_them_off(
    cast: Cast, visit: Visit
) -> None:
    tova = cast.trainee
    assert tova.client().get(f"/api/v1/visits/{visit.pk}/package").status_code == 404

    page = office(cast, visit, "companion-name", tova.member.pk)

    assert "Tova Trainee goes along." in page.content.decode()
    assert "in training: records, and signs nothing" in page.content.decode()
    office(cast, visit, "companion-name", tova.member.pk)  # once more: nothing more
    assert Companion.objects.count() == 1
    assert AuditEntry.objects.filter(event="companion.named").count() == 1
    told = tova.client().get(f"/api/v1/visits/{visit.pk}/package").json()
    assert [
        (one["name"], one["inspector"], one["trainee"]) for one in told["recorders"]
    ] == [("Ines Field", True, False), ("Tova Trainee", False, True)]
    rows = tova.client().get("/api/v1/visits").json()
    assert [(row["id"], row["records"]) for row in rows] == [(str(visit.pk), True)]
    day = reverse("my-day", args=["northside"]) + f"?day={visit.starts_at.date()}"
    assert visit.property.street in tova.client().get(day).content.decode()

    office(cast, visit, "companion-off", tova.member.pk)
    assert not Companion.objects.exists()
    assert tova.client().get(f"/api/v1/visits/{visit.pk}/package").status_code == 404


@pytest.mark.parametrize("who", ["reviewer", "ines", "trainee", "stranger"])
def test_only_the_office_names(cast: Cast, visit: Visit, who: str) -> None:
    tova = cast.trainee.member.pk

    page = office(cast, visit, "companion-name", tova, getattr(cast, who))

    assert page.status_code in {403, 404}
    assert not Companion.objects.exists()


NOBODY = "0193a0c4-0000-7000-8000-000000000000"


@pytest.mark.parametrize("member", ["", "nobody", NOBODY])
def test_nobody_unknown_goes_along(cast: Cast, visit: Visit, member: str) -> None:
    page = office(cast, visit, "companion-name", member)

    assert page.status_code == 200
    assert "Choose" in page.content.decode()
    assert not Companion.objects.exists()


def test_neither_the_inspector_nor_another_firms_member_goes_along(
    cast: Cast, visit: Visit
) -> None:
    for member in (cast.ines, cast.scheduler, cast.stranger):
        office(cast, visit, "companion-name", member.member.pk)

    assert not Companion.objects.exists()


def test_a_trainee_records_and_leaves_the_rest_to_the_inspector(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    named(cast, visit, cast.trainee)
    stop, client = str(uuid4()), str(uuid4())
    said = [
        mutation(1, "kind", "stop", rec=stop),
        mutation(2, "name", "Kitchen", rec=stop),
        mutation(3, "closed_at", AT, rec=stop),
        mutation(4, "attested_at", AT, rec=stop),
        mutation(5, "left_at", AT, rec=str(visit.pk)),
        mutation(6, "kind", "signature", rec=client),
        mutation(7, "opened_at", AT, rec=stop),
    ]

    answer = push(cast.trainee, visit, phone, *said)

    apart = "quarantined"
    assert statuses(answer) == ["ok", "ok", apart, apart, apart, apart, "ok"]
    records, _ = folded(cast.ines.actor, visit)
    assert records == {stop: {"kind": "stop", "name": "Kitchen", "opened_at": AT}}
    kept = LogRow.objects.filter(visit=visit, status=LogRow.Status.QUARANTINED)
    assert kept.count() == 4
    assert all("inspector" in row.why for row in kept)
    # The inspector's own phone may say all of it.
    closed = push(cast.ines, visit, uuid4(), mutation(1, "closed_at", AT, rec=stop))
    assert statuses(closed) == ["ok"]


def test_a_trainee_takes_off_only_what_they_entered(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    named(cast, visit, cast.trainee)
    theirs, hers = str(uuid4()), str(uuid4())
    push(cast.ines, visit, uuid4(), mutation(1, "kind", "note", rec=hers))

    answer = push(
        cast.trainee, visit, phone,
        mutation(1, "kind", "note", rec=theirs),
        mutation(2, "_gone", True, rec=theirs),
        mutation(3, "_gone", True, rec=hers),
    )  # fmt: skip

    assert statuses(answer) == ["ok", "ok", "quarantined"]
    assert hers in folded(cast.ines.actor, visit)[0]


def test_another_inspector_beside_closes_stops_but_does_not_hand_in(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    named(cast, visit, cast.omar)
    stop = str(uuid4())

    answer = push(
        cast.omar, visit, phone,
        mutation(1, "kind", "stop", rec=stop), mutation(2, "closed_at", AT, rec=stop),
    )  # fmt: skip

    assert statuses(answer) == ["ok", "ok"]
    address = reverse("visit-hand-in", args=["northside", visit.pk])
    assert cast.omar.client().post(address).status_code == 403


@pytest.mark.parametrize(
    ("name", "method"),
    [("visit-hand-in", "post"), ("visit-sign", "get"), ("visit-sign", "post")],
)
def test_a_trainee_neither_hands_in_nor_signs(
    cast: Cast, visit: Visit, name: str, method: str
) -> None:
    named(cast, visit, cast.trainee)
    client = cast.trainee.client()
    address = reverse(name, args=["northside", visit.pk])

    assert getattr(client, method)(address).status_code == 403
    visit.refresh_from_db()
    assert visit.status == Visit.Status.BOOKED


def test_a_trainee_releases_nothing(cast: Cast, visit: Visit) -> None:
    named(cast, visit, cast.trainee)
    client = cast.trainee.client()
    for name in ("release-read", "release-make"):
        address = reverse(name, args=["northside", visit.pk])
        assert client.post(address).status_code in {403, 405}


def test_a_trainee_alone_on_a_visit_cannot_hand_it_in_either(cast: Cast) -> None:
    visit = make_visit(cast.trainee)
    address = reverse("visit-hand-in", args=["northside", visit.pk])

    assert cast.trainee.client().post(address).status_code == 403
