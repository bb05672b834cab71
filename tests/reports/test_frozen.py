"""EV-03, EV-05, EV-07: what was released stays; corrections and erasure say so."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import datetime, timedelta
from functools import partial
from typing import Any

import pikepdf
import pytest
from django.contrib import admin
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection, transaction
from django.test import Client
from django.utils import timezone

from findings.services import asks
from findings.standards import retention
from firm import storage
from firm.models import AuditEntry
from inspections.models import Contact, Hold
from reports.models import Artefact, Release, ReleaseEntry, Seal, SealRoot
from reports.services import erasure
from reports.services.evidence import walk
from tests.architecture.sources import APPS, modules, shown
from tests.support import reading_pdf
from tests.support.cast import Cast
from tests.support.released import BECAUSE, freeze, release, signed, two_issues
from tests.support.walked import Walk

pytestmark = pytest.mark.django_db

FROZEN = (Release, ReleaseEntry, Artefact, AuditEntry, Seal, SealRoot)
YEARS_LATER = timedelta(days=365 * 12)


@pytest.fixture
def once(cast: Cast) -> Walk:
    walked = signed(cast)
    release(walked)
    return walked


def refused(act: Callable[[], Any]) -> None:
    with pytest.raises(DatabaseError), transaction.atomic():
        act()


def stored(row: Release) -> dict[str, bytes]:
    return {a.kind: storage.get(a.storage_key) for a in row.artefacts.all()}


def test_ev_03_no_way_through_the_orm_changes_a_released_row(once: Walk) -> None:
    """EV-03: save, update, bulk_update and delete, on each frozen table."""
    for model in FROZEN:
        row = model._default_manager.first()
        assert row is not None
        name = next(
            field.name
            for field in model._meta.local_concrete_fields
            if field.name not in ("id", "firm", "only") and not field.is_relation
        )
        value = getattr(row, name)
        other: Any = value + 1 if isinstance(value, int) else "x"
        if isinstance(value, datetime):
            other = value + timedelta(days=1)
        setattr(row, name, other)
        manager: Any = model._default_manager
        rows = manager.filter(pk=row.pk)
        refused(row.save)
        refused(partial(rows.update, **{name: other}))
        refused(partial(rows.bulk_update, [row], [name]))
        refused(rows.delete)
    assert list(walk.faults(once.cast.owner.actor)) == []


def test_ev_03_every_column_of_a_release_is_held(once: Walk) -> None:
    """EV-03: not the contents alone, also who, when, why and in which state."""
    row = Release.objects.get()
    others = {
        "number": "R-0",
        "issue": 9,
        "state": "FAILED",
        "snapshot": b"{}",
        "snapshot_sha256": "0" * 64,
        "case_file": {"a": 1},
        "asked_for_by": once.cast.owner.member,
        "frozen_at": timezone.now(),
        "released_at": timezone.now(),
        "replaces": row,
        "reason": "x",
        "asked_by": "CLIENT",
    }
    for name, value in others.items():
        refused(partial(Release.objects.filter(pk=row.pk).update, **{name: value}))


def test_ev_03_the_applications_role_cannot_take_the_guards_away(once: Walk) -> None:
    """EV-03: it owns no table and is no superuser."""
    for statement in (
        "alter table reports_release disable trigger user",
        "alter table reports_releaseentry disable trigger all",
        "drop trigger release_frozen on reports_release",
        "drop function kingpost_release_frozen() cascade",
        "set session_replication_role = replica",
        "update reports_artefact set sha256 = repeat('0', 64)",
        "delete from firm_auditentry",
    ):
        refused(partial(connection.cursor().execute, statement))


def test_ev_03_the_operators_pages_have_no_released_rows() -> None:
    """EV-03: nothing frozen is registered in the admin."""
    assert not set(FROZEN) & set(admin.site._registry)


def test_ev_03_stored_bytes_are_not_overwritten(once: Walk) -> None:
    """EV-03: a key takes the bytes of its digest and no others."""
    file = Artefact.objects.get(kind="pdf")
    before = storage.get(file.storage_key)
    with pytest.raises(storage.StorageFailed):
        storage.put(file.storage_key, b"something else")
    assert storage.get(file.storage_key) == before


def test_ev_03_only_one_module_touches_the_store() -> None:
    """EV-03: so that what holds there holds everywhere."""
    using = [
        shown(path) for path in modules(*APPS) if "default_storage" in path.read_text()
    ]
    assert using == ["firm/storage.py"]


def test_ev_05_a_correction_says_what_it_replaces_and_leaves_it_alone(
    cast: Cast,
) -> None:
    """EV-05: on page 1, in the metadata, behind the link; old bytes stay."""
    walked = signed(cast)
    first = release(walked)
    before = stored(first)
    second = release(walked, BECAUSE)

    pdf = stored(second)["pdf"]
    page = " ".join(reading_pdf.pages(pdf)[0].split())
    assert "It replaces issue 1 of November 24, 2026" in page
    assert BECAUSE in page
    assert "Asked for by: the client" in page
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert "replaces issue 1 of November 24, 2026" in str(opened.docinfo.Subject)
    web = stored(second)["web"].decode()
    assert "It replaces issue 1" in web
    assert BECAUSE in web
    first.refresh_from_db()
    assert stored(first) == before
    said = Client().get("/verify", {"sha256": first.snapshot_sha256}).content.decode()
    assert "There is a newer one: issue 2" in said


def later(walked: Walk) -> datetime:
    return timezone.now() + YEARS_LATER


def erase(walked: Walk, now: datetime) -> int:
    contact = Contact.objects.get(name="Dana Whitlow")
    return erasure.erase(actor=walked.cast.owner.actor, contact=contact, now=now)


@pytest.fixture
def kept_five_years(monkeypatch: pytest.MonkeyPatch) -> None:
    """A state that says how long: the demo's own gives no confirmed number."""

    real = retention.kept

    def five(asks_: Any, **dates: Any) -> Any:
        class Years:
            name = "Test"

            class retention:  # noqa: N801
                years, counted_from, after_hold_years = 5, "delivery", 5

        return real(Years, **dates)  # type: ignore[arg-type]

    monkeypatch.setattr(retention, "kept", five)


@pytest.mark.usefixtures("kept_five_years")
def test_ev_07_erasing_a_client_leaves_the_chain_whole(
    cast: Cast, django_capture_on_commit_callbacks: Any
) -> None:
    """EV-07: names and files are gone, both chains and the open parts verify."""
    walked = two_issues(cast)
    keys = [file.storage_key for file in Artefact.objects.all()]

    with django_capture_on_commit_callbacks(execute=True):
        assert erase(walked, later(walked)) == 2

    assert list(walk.faults(cast.owner.actor)) == []
    assert not any(default_storage.exists(key) for key in keys)
    for row in Release.objects.all():
        assert b"Dana" not in bytes(row.snapshot)
        assert row.erased_at is not None
    assert not Contact.objects.filter(name__contains="Dana").exists()
    told = AuditEntry.objects.values_list("who", "detail", "subject")
    assert "Dana" not in str(list(told))
    # A second asking finds nothing left, and does no harm.
    gone = Contact.objects.get(name="Name withheld")
    actor = cast.owner.actor
    assert erasure.erase(actor=actor, contact=gone, now=later(walked)) == 0
    # What was withheld is held to what was frozen, too.
    row = Release.objects.get(issue=1)
    changed = bytes(row.snapshot).replace(b"Northside", b"Southside")
    refused(lambda: Release.objects.filter(pk=row.pk).update(snapshot=changed))


@pytest.mark.usefixtures("kept_five_years")
@pytest.mark.parametrize(
    ("placed", "ended", "after", "erases"),
    [
        (False, False, timedelta(days=30), False),
        (False, False, YEARS_LATER, True),
        (True, False, YEARS_LATER, False),
        (True, True, YEARS_LATER, True),
        (True, True, timedelta(days=365 * 5 + 30), False),
    ],
)
def test_ev_07_a_hold_and_the_laws_years_win(
    once: Walk, placed: bool, ended: bool, after: timedelta, erases: bool
) -> None:
    """EV-07: each combination of hold, its end, and years gone by."""
    owner, now = once.cast.owner.actor, timezone.now()
    if placed:
        row = asks.place_hold(
            actor=owner, visit=once.visit, because="A claim.", now=now
        )
        if ended:
            at = now + timedelta(days=365)
            asks.end_hold(actor=owner, row=row, because="Settled.", now=at)
    if erases:
        assert erase(once, now + after) == 1
    else:
        with pytest.raises(erasure.UnableToErase) as told:
            erase(once, now + after)
        assert once.visit.number in told.value.details[0]
        assert Contact.objects.filter(name="Dana Whitlow").exists()
    assert list(walk.faults(owner)) == []


def test_ev_07_the_database_itself_holds_what_is_on_hold(once: Walk) -> None:
    """EV-07: whatever code asks."""
    Hold.objects.create(
        firm=once.cast.northside,
        visit=once.visit,
        because="A claim.",
        placed_by=once.cast.owner.member,
        placed_at=timezone.now(),
    )
    refused(
        lambda: Release.objects.update(
            erased_at=timezone.now(), snapshot=b"{}", case_file={}
        )
    )
    contact = Contact.objects.get(name="Dana Whitlow")
    with pytest.raises(CommandError, match="a hold stands"):
        call_command("erase_contact", "northside", str(contact.pk))


def test_ev_07_a_digest_tells_nobody_which_name_is_in_it(cast: Cast) -> None:
    """EV-07: two issues of one content have two salts."""
    walked = signed(cast)
    row = freeze(walked)
    salt = (
        row.snapshot.tobytes() if isinstance(row.snapshot, memoryview) else row.snapshot
    )
    assert b'"salt":"' in salt
    assert b'"salt":""' not in salt
