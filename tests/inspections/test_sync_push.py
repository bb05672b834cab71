"""What the server does with a phone's push, one mutation after another."""

from typing import Any
from uuid import UUID, uuid4

import pytest
from django.http import Http404

from firm.errors import BadInput, NotAllowed
from firm.models import AuditEntry
from inspections.models import Device, LogRow, Visit
from inspections.selectors.folded import folded
from tests.support.cast import Cast
from tests.support.visits import make_visit, mutation, push, statuses

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(cast: Cast) -> Visit:
    return make_visit(cast.ines)


@pytest.fixture
def phone() -> UUID:
    return uuid4()


def a_stop(seq: int = 1, name: str = "Kitchen") -> list[dict[str, Any]]:
    rec = str(uuid4())
    return [
        mutation(seq, "kind", "stop", rec=rec),
        mutation(seq + 1, "name", name, rec=rec),
    ]


def test_a_push_is_applied_and_numbered(cast: Cast, visit: Visit, phone: UUID) -> None:
    kind, name = a_stop()

    answer = push(cast.ines, visit, phone, kind, name)

    assert statuses(answer) == ["ok", "ok"]
    assert [result.v for result in answer.results] == [1, 2]
    assert answer.version == 2
    records, conflicts = folded(cast.ines.actor, visit)
    assert records == {kind["rec"]: {"kind": "stop", "name": "Kitchen"}}
    assert conflicts == {}


def test_the_first_entry_begins_the_visit(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    push(cast.ines, visit, phone, *a_stop())

    visit.refresh_from_db()
    assert visit.status == Visit.Status.UNDER_WAY
    assert AuditEntry.objects.filter(event="visit.begun").count() == 1


def test_the_same_batch_again_changes_nothing(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    batch = a_stop()
    push(cast.ines, visit, phone, *batch)
    before = list(LogRow.objects.order_by("version").values())

    again = push(cast.ines, visit, phone, *batch)

    assert statuses(again) == ["dup", "dup"]
    assert [result.v for result in again.results] == [1, 2]
    assert again.version == 2
    assert list(LogRow.objects.order_by("version").values()) == before


def test_a_hole_in_the_numbers_is_answered_with_the_number_missing(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    kind, name = a_stop()
    name["seq"] = 3

    answer = push(cast.ines, visit, phone, kind, name, mutation(4, "kind", "stop"))

    assert statuses(answer) == ["ok", "gap"]
    assert answer.results[1].expected == 2
    assert answer.version == 1


def test_a_number_used_before_is_a_fork(cast: Cast, visit: Visit, phone: UUID) -> None:
    push(cast.ines, visit, phone, *a_stop())

    answer = push(cast.ines, visit, phone, mutation(2, "kind", "stop"))

    assert statuses(answer) == ["fork"]
    assert answer.version == 2


def test_after_a_fork_the_same_entries_count_under_a_new_device(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    batch = a_stop()
    push(cast.ines, visit, phone, *batch)
    new = uuid4()

    answer = push(cast.ines, visit, new, *batch, mutation(3, "kind", "note"))

    assert statuses(answer) == ["dup", "dup", "ok"]


def test_one_id_for_two_things_is_kept_apart_under_a_new_id(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    kind, name = a_stop()
    push(cast.ines, visit, phone, kind, name)
    twisted = name | {"seq": 3, "value": "Pantry"}

    first = push(cast.ines, visit, phone, twisted)
    second = push(cast.ines, visit, phone, twisted)

    assert statuses(first) == statuses(second) == ["reused"]
    assert first.results[0].v == second.results[0].v == 3
    assert folded(cast.ines.actor, visit)[0][kind["rec"]]["name"] == "Kitchen"
    kept = LogRow.objects.get(version=3)
    assert (kept.status, kept.value) == ("quarantined", "Pantry")
    assert AuditEntry.objects.filter(event="entry.reused").count() == 1
    after = push(cast.ines, visit, phone, mutation(4, "kind", "note"))
    assert statuses(after) == ["ok"]


def test_an_id_of_another_visit_is_not_a_repeat(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    other = make_visit(cast.ines, "R-2026-0002", visit.starts_at.replace(hour=20))
    batch = a_stop()
    push(cast.ines, visit, phone, *batch)

    assert statuses(push(cast.ines, other, phone, *batch)) == ["reused", "reused"]


@pytest.mark.parametrize(
    ("field", "value", "why"),
    [
        ("amps", 900, "amps: 900 is more than 400"),
        ("amps", "20", "amps: must be a whole number"),
        ("amps", True, "amps: must be a whole number"),
        ("colour_of_door", "red", "colour_of_door: an unknown field of a space"),
        ("state", "glowing", "state: must be one of on, off, tripped, damaged"),
        ("label", "two\nlines", "label: must be one line"),
        ("label", "nul \x00 inside", "label: holds the character U+0000"),
        ("label", "half \ud83d", "label: holds half of a surrogate pair"),
        (
            "plate_mca",
            31.5,
            "plate_mca: must not be a number with a point; send it as text",
        ),
        ("kind", "stop", "kind: this record is a space; a record's kind never changes"),
        ("label", "x" * 70_000, "value: larger than 64 KiB"),
        ("number", 2**60, "number: is too large a number"),
        ("_gone", "yes", "_gone: must be yes or no"),
    ],
)
def test_what_the_vocabulary_does_not_hold_is_set_apart_and_blocks_nothing(
    cast: Cast, visit: Visit, phone: UUID, field: str, value: object, why: str
) -> None:
    kind = mutation(1, "kind", "space")
    wrong = mutation(2, field, value, rec=kind["rec"])
    after = mutation(3, "amps", 20, rec=kind["rec"])

    answer = push(cast.ines, visit, phone, kind, wrong, after)

    assert statuses(answer) == ["ok", "quarantined", "ok"]
    assert answer.results[1].why == why
    assert folded(cast.ines.actor, visit)[0] == {
        kind["rec"]: {"kind": "space", "amps": 20}
    }


def test_what_no_column_holds_is_kept_as_it_came(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    wrong = mutation(1, "label", "nul \x00 and \ud83d")

    push(cast.ines, visit, phone, wrong)

    row = LogRow.objects.get(version=1)
    assert b"nul \\u0000 and \\ud83d" in bytes(row.raw or b"")


@pytest.mark.parametrize(
    ("broken", "why"),
    [
        ({"rec": "no id"}, "rec: must be a UUID"),
        ({"field": "f" * 61}, "field: must be a name of at most 60 characters"),
        ({"field": 7}, "field: must be a name of at most 60 characters"),
        ({"seen": ["x"]}, "seen: must be a list of UUIDs"),
        ({"seen": "x"}, "seen: must be a list of UUIDs"),
        ({"schema": "1"}, "schema: must be a whole number"),
        ({"schema": 99}, "schema: 99 is not known here"),
        ({"schema": 2**40}, "schema: not a version there has been"),
        ({"at": "t" * 41}, "at: must be a time of at most 40 characters"),
        ({"at": 5}, "at: must be a time of at most 40 characters"),
        ({"visit": str(uuid4())}, "visit: this entry belongs to another visit"),
    ],
)
def test_a_broken_envelope_is_set_apart(
    cast: Cast, visit: Visit, phone: UUID, broken: dict[str, Any], why: str
) -> None:
    answer = push(cast.ines, visit, phone, mutation(1, "kind", "stop") | broken)

    assert [(r.s, r.why) for r in answer.results] == [("quarantined", why)]
    again = push(cast.ines, visit, phone, mutation(2, "kind", "stop"))
    assert statuses(again) == ["ok"]


@pytest.mark.parametrize(
    "broken", [{"id": "x"}, {"id": None}, {"seq": 0}, {"seq": "1"}, {"seq": True}]
)
def test_without_an_id_or_a_number_nothing_of_the_batch_is_taken(
    cast: Cast, visit: Visit, phone: UUID, broken: dict[str, Any]
) -> None:
    with pytest.raises(BadInput, match=r"mutations\.2\."):
        push(cast.ines, visit, phone, *a_stop(), mutation(3, "kind", "stop") | broken)

    assert LogRow.objects.count() == 0


def test_a_device_of_a_colleague_is_answered_with_a_fork(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    Device.objects.create(
        pk=phone, firm=cast.northside, membership=cast.omar.member, client="other"
    )

    assert statuses(push(cast.ines, visit, phone, *a_stop())) == ["fork"]
    assert LogRow.objects.count() == 0


def test_a_device_id_of_another_firm_is_answered_with_a_fork(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    with cast.inside(cast.elsewhere):
        Device.objects.create(
            pk=phone, firm=cast.elsewhere, membership=cast.stranger.member
        )

    with cast.inside():
        assert statuses(push(cast.ines, visit, phone, *a_stop())) == ["fork"]


def test_only_the_visits_own_inspector_records(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    for person in (cast.owner, cast.reviewer, cast.scheduler):
        with pytest.raises(NotAllowed):
            push(person, visit, phone, *a_stop())
    for person in (cast.omar, cast.trainee, cast.stranger):
        with pytest.raises(Http404):
            push(person, visit, phone, *a_stop())
    assert LogRow.objects.count() == 0


def test_a_trainee_records_on_a_visit_of_their_own(cast: Cast, phone: UUID) -> None:
    visit = make_visit(cast.trainee)

    assert statuses(push(cast.trainee, visit, phone, *a_stop())) == ["ok", "ok"]


@pytest.mark.parametrize("sealed", ["RELEASED", "ABANDONED"])
def test_what_comes_after_release_is_taken_and_marked_late(
    cast: Cast, visit: Visit, phone: UUID, sealed: str
) -> None:
    Visit.objects.filter(pk=visit.pk).update(status=sealed)

    assert statuses(push(cast.ines, visit, phone, *a_stop())) == ["ok", "ok"]

    assert set(LogRow.objects.values_list("late", flat=True)) == {True}
    visit.refresh_from_db()
    assert visit.status == sealed


def test_a_wrong_clock_is_noted_and_decides_nothing(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    batch = [
        item | {"at": at}
        for item, at in zip(
            a_stop(), ("1970-01-01T00:00:00Z", "2099-12-31T23:59:59Z"), strict=True
        )
    ]

    assert statuses(push(cast.ines, visit, phone, *batch)) == ["ok", "ok"]
    assert Device.objects.get(pk=phone).clock_offset_s == 0


def test_a_field_may_come_before_its_records_kind(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    rec = str(uuid4())

    answer = push(
        cast.ines,
        visit,
        phone,
        mutation(1, "amps", 20, rec=rec),
        mutation(2, "kind", "stop", rec=rec),
        mutation(3, "kind", "space", rec=rec),
    )

    assert statuses(answer) == ["ok", "quarantined", "ok"]
    assert answer.results[1].why == (
        "kind: does not fit what the record holds (amps: an unknown field of a stop)"
    )
    assert folded(cast.ines.actor, visit)[0] == {rec: {"kind": "space", "amps": 20}}


def test_an_entry_that_comes_after_what_covers_it_does_not_stand(
    cast: Cast, visit: Visit, phone: UUID
) -> None:
    kind, name = a_stop()
    later = mutation(2, "name", "Pantry", rec=kind["rec"], seen=[name["id"]])
    name["seq"] = 3

    push(cast.ines, visit, phone, kind, later, name)

    records, conflicts = folded(cast.ines.actor, visit)
    assert records[kind["rec"]]["name"] == "Pantry"
    assert conflicts == {}
