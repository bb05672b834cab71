"""From a signed visit to a report that its client, and nobody else, can open."""

from __future__ import annotations

import hashlib
import re
from datetime import timedelta
from io import BytesIO
from typing import Any

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from firm import jobs, storage
from firm.errors import BadInput
from firm.models import Job, KnownFile
from inspections.models import Contact, Party, Visit
from reports.models import Artefact, LinkOpening, Release, ReleaseEntry, ShareLink
from reports.services import releases
from tests.support.cast import Cast
from tests.support.walked import NOW, Walk, walk

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed(cast: Cast) -> Walk:
    walked = walk(cast)
    walked.clients("Dana Whitlow")
    Contact.objects.filter(name="Dana Whitlow").update(email="dana@example.net")
    walked.picture("ph-13", stop="s-svc", about="sp-13", use="shows_it")
    walked.decide("use")
    walked.finish()
    return walked


def freeze(signed: Walk, **more: Any) -> Release:
    return releases.release(
        actor=signed.cast.reviewer.actor, visit=signed.visit, now=NOW, **more
    )


def work(signed: Walk) -> bool:
    return jobs.run_next(firm_id=str(signed.cast.northside.pk), queue="reports")


@pytest.fixture
def released(signed: Walk) -> Walk:
    freeze(signed)
    assert work(signed) is True
    return signed


def test_a_release_becomes_visible_only_with_all_its_files(signed: Walk) -> None:
    row = freeze(signed)
    assert row.state == Release.State.RELEASING
    assert row.artefacts.count() == 0

    work(signed)

    row.refresh_from_db()
    assert row.state == Release.State.RELEASED
    for file in row.artefacts.all():
        content = storage.get(file.storage_key)
        assert hashlib.sha256(content).hexdigest() == file.sha256
    assert set(row.artefacts.values_list("kind", flat=True)) == {
        "pdf",
        "web",
        "gallery",
    }


@pytest.mark.parametrize("made", [0, 1, 2, 3])
def test_a_worker_lost_between_the_files_leaves_no_half_release(
    signed: Walk, made: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    row = freeze(signed)
    store = releases._store
    calls: list[str] = []

    def store_some(actor: Any, release_id: str, kind: str, content: bytes) -> None:
        if len(calls) == made:
            raise SystemExit("killed")
        calls.append(kind)
        store(actor, release_id, kind, content)

    monkeypatch.setattr(releases, "_store", store_some)
    if made < 3:
        with pytest.raises(SystemExit):
            releases.make_artefacts(
                actor=signed.cast.reviewer.actor, job_id=row.pk, release_id=str(row.pk)
            )
        row.refresh_from_db()
        assert row.state == Release.State.RELEASING
    monkeypatch.setattr(releases, "_store", store)
    work(signed)

    row.refresh_from_db()
    assert row.state == Release.State.RELEASED
    assert Artefact.objects.filter(release=row).count() == 3


def test_a_second_delivery_of_the_work_changes_nothing(released: Walk) -> None:
    row = Release.objects.get()
    before = list(row.artefacts.order_by("kind").values_list("sha256", "made_at"))

    releases.make_artefacts(
        actor=released.cast.reviewer.actor, job_id=row.pk, release_id=str(row.pk)
    )
    assert (
        list(row.artefacts.order_by("kind").values_list("sha256", "made_at")) == before
    )
    assert ReleaseEntry.objects.count() == 1


def test_the_pdf_carries_its_words_and_its_snapshot(released: Walk) -> None:
    row = Release.objects.get()
    pdf = storage.get(row.artefacts.get(kind="pdf").storage_key)

    reader = PdfReader(BytesIO(pdf))
    text = " ".join(page.extract_text() for page in reader.pages)
    assert "Dana Whitlow" in text
    assert row.number in text
    attached = next(iter(reader.attachments.values()))[0]
    assert hashlib.sha256(attached).hexdigest() == row.snapshot_sha256


def test_a_correction_is_the_next_issue_and_says_why(released: Walk) -> None:
    with pytest.raises(BadInput):
        freeze(released)

    second = freeze(
        released, correction=releases.Correction("A typing error in item 1.", "CLIENT")
    )
    work(released)

    second.refresh_from_db()
    assert (second.issue, second.replaces_id) == (2, Release.objects.get(issue=1).pk)
    entries = list(ReleaseEntry.objects.order_by("seq"))
    assert entries[1].prev == entries[0].entry
    page = storage.get(second.artefacts.get(kind="web").storage_key).decode()
    assert "A typing error in item 1." in page


def make_link(released: Walk) -> str:
    party = Party.objects.get(part="CLIENT")
    client = released.cast.scheduler.client()
    address = reverse("share-link-make", args=["northside", released.visit.pk])
    page = client.post(address, {"party": str(party.pk), "shown": "on"})
    assert page.status_code == 200
    found = re.search(r"http://testserver(/r/[\w-]{43})", page.content.decode())
    assert found
    return found.group(1)


def test_opening_takes_two_steps_and_scanners_change_nothing(released: Walk) -> None:
    link = make_link(released)
    for _ in range(10):
        assert Client().get(link, HTTP_USER_AGENT="LinkScan/2").status_code == 200
        assert Client().head(link).status_code == 200
    assert not LinkOpening.objects.filter(action="opened").exists()

    person = Client()
    landing = person.get(link).content
    assert b"Northside House Looks" in landing
    for told in (b"Dana", b"Alder", b"R-2026", b"<img"):
        assert told not in landing

    opened = person.post(link)
    assert (opened.status_code, opened["Location"]) == (302, "/r/report/")
    report = person.get("/r/report/")
    assert b"Dana Whitlow" in report.content
    assert LinkOpening.objects.filter(action="opened").count() == 1


def test_the_pages_behind_a_link_carry_their_headers(released: Walk) -> None:
    person = Client()
    link = make_link(released)
    person.post(link)

    for address in (link, "/r/report/", "/r/report/report.pdf", "/r/unknown"):
        response = person.get(address)
        # The page with a form names its host, or its form would come from "null".
        policy = "strict-origin" if address == link else "no-referrer"
        assert response["Referrer-Policy"] == policy
        assert response["X-Robots-Tag"] == "noindex, nofollow, noarchive"
        assert response["Cache-Control"] == "private, no-store"


def test_the_report_serves_its_own_photos_and_no_others(released: Walk) -> None:
    person = Client()
    person.post(make_link(released))
    photo = released.id("ph-13")

    shown = person.get(f"/r/report/photos/{photo}/thumb")
    assert (shown.status_code, shown["Content-Type"]) == (200, "image/jpeg")
    assert shown["Content-Security-Policy"] == "sandbox; default-src 'none'"
    other = released.visit.pk
    assert person.get(f"/r/report/photos/{other}/thumb").status_code == 404
    assert Client().get(f"/r/report/photos/{photo}/thumb").status_code == 401


def test_the_office_finds_a_released_visit_in_the_list(released: Walk) -> None:
    address = reverse("release-list", args=["northside"])
    street = released.visit.property.street.encode()

    for person in (released.cast.scheduler, released.cast.reviewer):
        assert street in person.client().get(address).content
    assert street not in released.cast.stranger.client().get("/").content


def test_a_revoked_link_closes_at_the_next_request(released: Walk) -> None:
    person = Client()
    address = make_link(released)
    person.post(address)
    link = ShareLink.objects.get()

    released.cast.scheduler.client().post(
        reverse("share-link-revoke", args=["northside", link.pk])
    )
    assert person.get("/r/report/").status_code == 410
    assert person.get("/r/report/report.pdf").status_code == 410
    assert Client().post(address).status_code == 410


def test_a_share_session_ends_after_two_idle_hours(released: Walk) -> None:
    person = Client()
    person.post(make_link(released))
    session = person.session
    held = dict(session["share"])
    held["seen_at"] = (timezone.now() - timedelta(hours=2, minutes=1)).isoformat()
    session["share"] = held
    session.save()

    assert person.get("/r/report/").status_code == 401


def test_an_agent_needs_the_clients_consent(released: Walk) -> None:
    agent = Contact.objects.create(firm=released.cast.northside, name="Ann Agent")
    party = Party.objects.create(
        firm=released.cast.northside, visit=released.visit, contact=agent, part="AGENT"
    )
    office = released.cast.scheduler.client()
    page = reverse("release-read", args=["northside", released.visit.pk])
    office.post(
        reverse("share-link-make", args=["northside", released.visit.pk]),
        {"party": str(party.pk)},
        HTTP_REFERER=f"http://testserver{page}",
    )
    assert not ShareLink.objects.filter(contact=agent).exists()

    office.post(
        reverse("consent-record", args=["northside", released.visit.pk]),
        {"party": str(party.pk), "how": "by e-mail, 4 March"},
    )
    office.post(
        reverse("share-link-make", args=["northside", released.visit.pk]),
        {"party": str(party.pk), "shown": "on"},
    )
    assert ShareLink.objects.get(contact=agent).consent is not None


def test_a_client_lets_somebody_in_by_name(released: Walk) -> None:
    person = Client()
    person.post(make_link(released))
    asked = {"name": "Sam Whitlow", "email": "sam@example.org"}
    asked |= {"part": "READER", "scope": "FULL"}

    refused = person.post("/r/report/people", asked)
    assert b"Tick this to let them in" in refused.content
    assert b"sam@example.org" in refused.content
    assert person.post("/r/report/people", {**asked, "agree": "on"}).status_code == 302

    # Sending waits for a worker of its own; the address is made there.
    while jobs.run_next(firm_id=str(released.cast.northside.pk), queue="other"):
        pass
    message = mail.outbox[-1]
    assert message.to == ["sam@example.org"]
    link = re.search(r"http://testserver(/r/\S+)", str(message.body))
    assert link
    reader = Client()
    reader.post(link.group(1))
    assert reader.get("/r/report/").status_code == 200
    assert reader.get("/r/report/people").status_code == 404


def test_anybody_may_ask_whether_a_file_is_genuine(released: Walk) -> None:
    row = Release.objects.get()
    digest = row.artefacts.get(kind="pdf").sha256

    known = Client().get("/verify", {"sha256": digest.upper()}).content.decode()
    assert row.number in known
    assert "Dana" not in known
    changed = Client().get("/verify", {"sha256": "0" * 64}).content.decode()
    assert row.number not in changed
    assert b"64 characters" in Client().get("/verify", {"sha256": "abc"}).content
    assert KnownFile.objects.count() == 4


def test_the_office_sees_what_stands_against_a_release(cast: Cast) -> None:
    walked = walk(cast)
    walked.clients("Dana Whitlow", signed=False)
    address = reverse("release-make", args=["northside", walked.visit.pk])

    response = cast.reviewer.client().post(address, {})
    assert response.status_code == 409
    assert "Dana Whitlow has not signed the agreement." in response.content.decode()
    assert Release.objects.count() == 0


def test_who_may_not_release_is_told_so(signed: Walk) -> None:
    address = reverse("release-make", args=["northside", signed.visit.pk])

    assert signed.cast.ines.client().post(address, {}).status_code == 403
    assert signed.cast.stranger.client().post(address, {}).status_code == 404
    assert Release.objects.count() == 0
    assert Visit.objects.get().status == Visit.Status.SIGNED


def test_a_failed_making_is_shown_with_a_way_to_try_again(
    signed: Walk, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.FIRM_JOBS_RAISE = False
    row = freeze(signed)

    def broken(*_: Any) -> bytes:
        raise OSError("no space left on device")

    monkeypatch.setitem(releases._MAKERS, "pdf", broken)
    Job.objects.update(attempts=jobs.TRIES - 1)
    work(signed)
    page = signed.cast.reviewer.client().get(
        reverse("release-read", args=["northside", signed.visit.pk])
    )
    assert b"no space left on device" in page.content
    assert b"Try again" in page.content

    monkeypatch.undo()
    signed.cast.reviewer.client().post(
        reverse("release-retry", args=["northside", row.pk])
    )
    work(signed)
    row.refresh_from_db()
    assert row.state == Release.State.RELEASED
