"""A re-check: chosen findings looked at again, with a release of its own."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from findings.services import renditions
from firm import jobs, storage
from inspections.models import PhotoFile, Visit
from reports.models import RecheckItem, Release
from reports.selectors.gate import blockers
from reports.services import releases, told
from tests.reports.shared import released_report
from tests.support.cast import Cast
from tests.support.pictures import photo, quarters
from tests.support.visits import make_visit
from tests.support.walked import NOW, Walk

pytestmark = pytest.mark.django_db

NOW_SEEN = "A new breaker; the wire is as it was."


def booked(cast: Cast) -> Visit:
    starts = NOW + timedelta(days=14)
    return make_visit(
        cast.ines, number="R-2026-0077", starts=starts, purpose="re_check"
    )


def chosen(cast: Cast, visit: Visit, earlier: Release) -> RecheckItem:
    """The office takes the first finding over; the inspector may not choose."""
    office = cast.scheduler.client()
    page = reverse("recheck-read", args=["northside", visit.pk])
    assert "Finding 1:" in office.get(page).content.decode()
    asked = {"earlier": str(earlier.pk), "numbers": ["1"]}
    begin = reverse("recheck-begin", args=["northside", visit.pk])
    assert cast.ines.client().post(begin, asked).status_code == 403
    assert office.post(begin, asked).status_code == 302
    return RecheckItem.objects.get()


def looked(cast: Cast, item: RecheckItem) -> None:
    look = reverse("recheck-look", args=["northside", item.pk])
    said = {"outcome": "PARTLY", "words": NOW_SEEN}
    assert cast.scheduler.client().post(look, said).status_code == 403
    sent = SimpleUploadedFile("now.jpg", photo(quarters(320, 240)))
    answer = cast.ines.client().post(look, {**said, "photo": sent})
    assert answer.status_code == 302
    file = PhotoFile.objects.get(visit=item.visit)
    renditions.make(actor=cast.ines.actor, photo_id=file.pk)


def test_a_re_check_goes_from_items_to_its_own_linked_release(cast: Cast) -> None:
    released_report(cast)
    earlier = Release.objects.get()
    visit = booked(cast)
    item = chosen(cast, visit, earlier)
    visit.refresh_from_db()
    codes = [one.code for one in blockers(cast.reviewer.actor, visit)]
    assert "recheck-open" in codes
    assert "duty-open" not in codes
    looked(cast, item)

    again = Walk(cast, visit)
    again.clients("Dana Whitlow")
    visit.refresh_from_db()
    again.finish()
    row = releases.release(actor=cast.reviewer.actor, visit=visit, now=NOW)
    jobs.run_next(firm_id=str(cast.northside.pk), queue="reports")

    row.refresh_from_db()
    assert row.state == Release.State.RELEASED
    holds_to_the_earlier(row, earlier)
    assert earlier.artefacts.count() == 3  # and stays as it is


def holds_to_the_earlier(row: Release, earlier: Release) -> None:
    snapshot = told.snapshot_of(row)
    assert snapshot.kind == "recheck"
    assert snapshot.earlier is not None
    assert snapshot.earlier.sha256 == earlier.snapshot_sha256
    (one,) = snapshot.rechecked
    assert (one.outcome, len(one.after)) == ("Partly put right", 1)
    assert one.before == told.snapshot_of(earlier).findings[0].photos
    web = storage.get(row.artefacts.get(kind="web").storage_key).decode()
    for words in ("Re-check of", NOW_SEEN, earlier.number):
        assert words in web
