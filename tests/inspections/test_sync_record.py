"""What pages write into the log, and what the office lets in."""

from uuid import UUID, uuid4

import pytest
from django.http import Http404

from firm.errors import NotAllowed
from firm.models import AuditEntry
from inspections.models import LogRow, Visit
from inspections.selectors.folded import folded, open_conflicts, standing
from inspections.services import log
from inspections.services.log import Change
from tests.support.cast import Cast
from tests.support.visits import make_visit, mutation, push, statuses

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(cast: Cast) -> Visit:
    return make_visit(cast.ines)


def write(cast: Cast, visit: Visit, *changes: Change) -> list[UUID]:
    return log.record(actor=cast.ines.actor, visit=visit, changes=changes)


def test_a_form_writes_a_record(cast: Cast, visit: Visit) -> None:
    rec = log.new_id()

    made = write(cast, visit, Change(rec, "kind", "stop"), Change(rec, "name", "Attic"))

    assert len(made) == 2
    assert folded(cast.ines.actor, visit)[0] == {rec: {"kind": "stop", "name": "Attic"}}
    assert (visit.version, visit.status) == (2, "UNDER_WAY")


def test_saying_the_same_again_makes_no_entry(cast: Cast, visit: Visit) -> None:
    rec = log.new_id()
    changes = (Change(rec, "kind", "stop"), Change(rec, "name", "Attic"))
    write(cast, visit, *changes)

    assert write(cast, visit, *changes) == []
    assert visit.version == 2


def test_the_visits_own_record_gets_its_kind_by_itself(
    cast: Cast, visit: Visit
) -> None:
    write(cast, visit, Change(visit.pk, "ground", "dry"))
    write(cast, visit, Change(visit.pk, "ground", "damp"))

    assert folded(cast.ines.actor, visit)[0] == {
        str(visit.pk): {"kind": "visit", "ground": "damp"}
    }


def test_a_form_is_written_whole_or_not_at_all(cast: Cast, visit: Visit) -> None:
    rec = log.new_id()

    with pytest.raises(log.UnableToRecord, match="receptacles_seen: 900 is more") as no:
        write(
            cast,
            visit,
            Change(rec, "kind", "stop"),
            Change(rec, "name", "Attic"),
            Change(rec, "receptacles_seen", 900),
        )

    assert no.value.field == "receptacles_seen"
    assert LogRow.objects.count() == 0
    assert write(cast, visit, Change(rec, "kind", "stop"))


def test_a_form_replaces_only_what_it_showed(cast: Cast, visit: Visit) -> None:
    rec = log.new_id()
    write(cast, visit, Change(rec, "kind", "stop"), Change(rec, "name", "Attic"))
    shown = standing(cast.ines.actor, visit).seen(rec, "name")
    write(cast, visit, Change(rec, "name", "Loft"))

    write(cast, visit, Change(rec, "name", "Upper attic", seen=shown))

    records, conflicts = folded(cast.ines.actor, visit)
    assert conflicts == {(rec, "name"): ["Loft", "Upper attic"]}
    assert records[rec]["name"] == "Loft"
    (row,) = open_conflicts(cast.ines.actor, visit)
    assert [(said.value, said.by) for said in row.said] == [
        ("Loft", "Ines Field"),
        ("Upper attic", "Ines Field"),
    ]
    write(cast, visit, Change(rec, "name", "Upper attic"))
    assert folded(cast.ines.actor, visit)[1] == {}


def test_a_deleted_record_comes_back_whole(cast: Cast, visit: Visit) -> None:
    rec = log.new_id()
    write(cast, visit, Change(rec, "kind", "stop"), Change(rec, "name", "Attic"))

    write(cast, visit, Change(rec, "_gone", value=True))
    assert folded(cast.ines.actor, visit)[0] == {}

    write(cast, visit, Change(rec, "_gone", value=False))
    records, conflicts = folded(cast.ines.actor, visit)
    assert (records, conflicts) == ({rec: {"kind": "stop", "name": "Attic"}}, {})


def test_a_delete_does_not_hide_a_change_it_did_not_see(
    cast: Cast, visit: Visit
) -> None:
    kind = mutation(1, "kind", "stop")
    name = mutation(2, "name", "Attic", rec=kind["rec"])
    gone = mutation(
        1, "_gone", value=True, rec=kind["rec"], seen=[kind["id"], name["id"]]
    )
    renamed = mutation(3, "name", "Loft", rec=kind["rec"], seen=[name["id"]])
    push(cast.ines, visit, phone := uuid4(), kind, name, renamed)

    push(cast.ines, visit, uuid4(), gone)

    records, conflicts = folded(cast.ines.actor, visit)
    assert records[kind["rec"]]["name"] == "Loft"
    assert conflicts == {(kind["rec"], "_gone"): [True]}
    assert phone


def test_only_the_visits_inspector_writes(cast: Cast, visit: Visit) -> None:
    change = Change(log.new_id(), "kind", "stop")

    for person in (cast.owner, cast.reviewer):
        with pytest.raises(NotAllowed):
            log.record(actor=person.actor, visit=visit, changes=[change])
    with pytest.raises(Http404):
        log.record(actor=cast.omar.actor, visit=visit, changes=[change])


def test_reading_takes_one_query_however_much_there_is(
    cast: Cast, visit: Visit, django_assert_num_queries: object
) -> None:
    for _ in range(20):
        rec = log.new_id()
        write(cast, visit, Change(rec, "kind", "stop"), Change(rec, "name", "Room"))

    with django_assert_num_queries(1):  # type: ignore[operator]
        folded(cast.ines.actor, visit)
    with django_assert_num_queries(1):  # type: ignore[operator]
        standing(cast.ines.actor, visit)
    with django_assert_num_queries(1):  # type: ignore[operator]
        assert open_conflicts(cast.ines.actor, visit) == []


def test_what_was_set_apart_can_be_let_in(cast: Cast, visit: Visit) -> None:
    kind = mutation(1, "kind", "space")
    big = mutation(2, "amps", 900, rec=kind["rec"])
    push(cast.ines, visit, uuid4(), kind, big)
    assert folded(cast.ines.actor, visit)[0] == {kind["rec"]: {"kind": "space"}}

    version = log.release_quarantined(
        actor=cast.reviewer.actor, visit=visit, mutation_id=UUID(big["id"])
    )

    assert version == visit.version == 3
    assert folded(cast.ines.actor, visit)[0][kind["rec"]]["amps"] == 900
    assert AuditEntry.objects.filter(event="entry.released").count() == 1
    with pytest.raises(log.UnableToRelease):
        log.release_quarantined(
            actor=cast.reviewer.actor, visit=visit, mutation_id=UUID(big["id"])
        )


def test_what_is_let_in_late_does_not_undo_what_its_author_wrote_since(
    cast: Cast, visit: Visit
) -> None:
    kind = mutation(1, "kind", "space")
    big = mutation(2, "amps", 900, rec=kind["rec"])
    mended = mutation(3, "amps", 90, rec=kind["rec"], seen=[big["id"]])
    push(cast.ines, visit, uuid4(), kind, big, mended)

    log.release_quarantined(
        actor=cast.owner.actor, visit=visit, mutation_id=UUID(big["id"])
    )

    records, conflicts = folded(cast.ines.actor, visit)
    assert (records[kind["rec"]]["amps"], conflicts) == (90, {})


@pytest.mark.parametrize(
    ("field", "value"), [("kind", "stop"), ("label", "nul \x00"), ("plate_mca", 1.5)]
)
def test_what_must_not_or_cannot_be_let_in_is_refused(
    cast: Cast, visit: Visit, field: str, value: object
) -> None:
    kind = mutation(1, "kind", "space")
    wrong = mutation(2, field, value, rec=kind["rec"])
    assert statuses(push(cast.ines, visit, uuid4(), kind, wrong)) == [
        "ok",
        "quarantined",
    ]

    with pytest.raises(log.UnableToRelease):
        log.release_quarantined(
            actor=cast.owner.actor, visit=visit, mutation_id=UUID(wrong["id"])
        )
    with pytest.raises(NotAllowed):
        log.release_quarantined(
            actor=cast.ines.actor, visit=visit, mutation_id=UUID(wrong["id"])
        )
    with pytest.raises(Http404):
        log.release_quarantined(
            actor=cast.owner.actor, visit=visit, mutation_id=uuid4()
        )
