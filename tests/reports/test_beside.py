"""Beside a report: questions, the client's list, papers, complaints, what is owed."""

from __future__ import annotations

import io
import socket
import struct
import threading
import zipfile
from datetime import timedelta
from typing import Any

import pytest
from django.core import mail
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from inspections.models import Contact, Hold, Party, Visit
from reports.models import Attachment, Complaint, Question, Release
from reports.selectors.gate import blockers
from reports.services import consents, releases, told
from tests.reports.shared import client_party, door, reader, released_report, work_off
from tests.support.cast import Cast
from tests.support.walked import NOW, Walk, walk

pytestmark = pytest.mark.django_db


@pytest.fixture
def released(cast: Cast) -> Walk:
    return released_report(cast)


@pytest.fixture
def dana(released: Walk) -> Client:
    _, token = door(released)
    return reader(token)


def at(name: str, *args: Any) -> str:
    return reverse(name, args=["northside", *args])


def test_an_answer_that_changes_the_report_waits_for_the_correction(
    released: Walk, dana: Client
) -> None:
    asked = {"text": "Is the wire really size 14?", "number": "1"}
    assert dana.post("/r/report/questions", asked).status_code == 302
    work_off(released)
    assert mail.outbox[-1].to == ["office@northside.example.com"]
    assert "size 14" not in str(mail.outbox[-1].body)
    question = Question.objects.get()
    assert question.finding == told.snapshot_of(Release.objects.get()).findings[0].id

    office = released.cast.reviewer.client()
    answer = at("question-answer", question.pk)
    said = {"text": "It is size 12 after all.", "changes_report": "yes"}
    office.post(answer, said)
    assert question.entries.count() == 1
    assert b"being corrected" in dana.get("/r/report/questions").content
    late = office.post(answer, {**said, "changes_report": "no"})
    assert late.status_code == 409
    assert question.entries.count() == 1

    releases.release(
        actor=released.cast.reviewer.actor,
        visit=released.visit,
        now=NOW,
        correction=releases.Correction("The wire's size.", "CLIENT"),
    )
    Release.objects.filter(issue=2).update(state="RELEASED", released_at=NOW)
    assert office.post(answer, {**said, "changes_report": "no"}).status_code == 302
    assert b"It is size 12 after all." in dana.get("/r/report/questions").content
    work_off(released)
    assert mail.outbox[-1].to == ["dana@example.net"]


def test_nobody_reads_another_readers_thread(released: Walk, dana: Client) -> None:
    dana.post("/r/report/questions", {"text": "Mine alone."})
    question = Question.objects.get()
    firm = released.cast.northside
    other = Contact.objects.create(firm=firm, name="Lee Whitlow")
    party = Party.objects.create(
        firm=firm, visit=released.visit, contact=other, part="READER"
    )
    consents.consent(
        actor=released.cast.scheduler.actor,
        visit=released.visit,
        given_by=client_party(released).contact,
        for_contact=other,
        scope="FULL",
        how="in writing",
        now=NOW,
    )
    lee = reader(door(released, party)[1])
    assert b"Mine alone." not in lee.get("/r/report/questions").content
    on = f"/r/report/questions/{question.pk}"
    assert lee.post(on, {"text": "Me too."}).status_code == 404
    assert dana.post(on, {"text": "And one more."}).status_code == 302
    assert question.entries.count() == 2


def test_the_list_starts_empty_and_goes_out_as_pdf_and_docx(
    released: Walk, dana: Client
) -> None:
    assert b"There is nothing on it yet." in dana.get("/r/report/list").content
    assert dana.get("/r/report/list.pdf").status_code == 404
    for line in ({"words": "Please put this right & soon.", "number": "1"},):
        assert dana.post("/r/report/list", line).status_code == 302
    assert (
        dana.post("/r/report/list", {"words": "x", "number": "99"}).status_code == 400
    )
    dana.post("/r/report/list", {"words": "The gate squeaks."})

    pages = PdfReader(io.BytesIO(dana.get("/r/report/list.pdf").content)).pages
    text = " ".join(" ".join(page.extract_text().split()) for page in pages)
    word = zipfile.ZipFile(io.BytesIO(dana.get("/r/report/list.docx").content))
    body = word.read("word/document.xml").decode()
    head = word.read("word/header1.xml").decode()
    row = Release.objects.get()
    for words in ("Please put this right & soon.", "The gate squeaks.", row.number):
        assert words in text
        assert words.replace("&", "&amp;") in body
    for page in pages:
        assert released.visit.property.street in page.extract_text()
        assert f"Part of report {row.number}" in " ".join(page.extract_text().split())
    assert released.visit.property.street in head
    assert row.snapshot_sha256 in body
    assert dana.post("/r/report/list/1/strike").status_code == 302
    assert b"right &amp; soon" not in dana.get("/r/report/list").content


def test_a_trades_sheet_stands_alone(released: Walk, dana: Client) -> None:
    answer = dana.get("/r/report/trade/electrician.pdf")
    reading = PdfReader(io.BytesIO(answer.content))
    text = " ".join(page.extract_text() for page in reading.pages)
    whole = told.snapshot_of(Release.objects.get())
    squeezed = "".join(text.split())
    for one in whole.findings:
        inside = one.trade.key == "electrician"
        assert ("".join(one.words.seen.split()) in squeezed) is inside
    for words in ("It does not stand for the whole", "Please keep in mind"):
        assert "".join(words.split()) in squeezed
    assert reading.attachments == {}
    assert "/StructTreeRoot" in reading.root_object
    assert dana.get("/r/report/trade/astronomer.pdf").status_code == 404


def test_the_photos_are_named_by_place_and_finding(
    released: Walk, dana: Client
) -> None:
    content = dana.get("/r/report/photos.zip").getvalue()
    names = zipfile.ZipFile(io.BytesIO(content)).namelist()
    whole = told.snapshot_of(Release.objects.get())
    assert len(names) == len(whole.photos)
    place = next(p.name for p in whole.places if p.id == whole.photos[0].place)
    assert all(place in name.split("/")[0] for name in names[:1])
    assert any("finding 01" in name for name in names)


def test_papers_are_opaque_and_listed_with_their_digest(
    released: Walk, dana: Client
) -> None:
    office = released.cast.scheduler.client()
    page = at("paper-list", released.visit.pk)
    hostile = b"<script>alert(1)</script>" * 10
    sent = SimpleUploadedFile('..\\..\\x"\r\n<b>.html', hostile, "text/html")
    said = {"title": "Radon result", "author": "Hollow Bay Laboratory", "file": sent}
    assert office.post(page, said).status_code == 302
    row = Attachment.objects.get()
    assert dana.get(f"/r/report/papers/{row.sha256}").status_code == 404  # not out yet

    releases.release(
        actor=released.cast.reviewer.actor,
        visit=released.visit,
        now=NOW,
        correction=releases.Correction("The radon result came.", "NOBODY"),
    )
    Release.objects.filter(issue=2).update(state="RELEASED", released_at=NOW)
    answer = dana.get(f"/r/report/papers/{row.sha256}")
    assert (answer.status_code, answer.content) == (200, hostile)
    assert answer["Content-Type"] == "application/octet-stream"
    assert answer["Content-Disposition"].startswith("attachment; filename=")
    assert not {'"', "\r", "\n", "<", "/", "\\"} & set(row.file_name)
    assert answer["Content-Security-Policy"] == "sandbox; default-src 'none'"
    (listed,) = told.snapshot_of(Release.objects.get(issue=2)).attachments
    assert listed.sha256 == row.sha256


class Scanner(threading.Thread):
    """Speaks clamd's stream over a real socket, and answers one word."""

    def __init__(self, word: bytes) -> None:
        super().__init__(daemon=True)
        self.word, self.got = word, b""
        self.door = socket.create_server(("127.0.0.1", 0))
        self.start()

    @property
    def address(self) -> str:
        return f"127.0.0.1:{self.door.getsockname()[1]}"

    def run(self) -> None:
        line, _ = self.door.accept()
        with line, line.makefile("rb") as stream:
            assert stream.read(10) == b"zINSTREAM\0"
            while size := struct.unpack("!L", stream.read(4))[0]:
                self.got += stream.read(size)
            line.sendall(self.word + b"\0")
        self.door.close()


@pytest.mark.parametrize(
    ("word", "status"),
    [(b"stream: OK", 302), (b"stream: Bad FOUND", 400), (b"stream: ERROR", 400)],
)
def test_a_scanner_is_asked_and_a_silent_one_holds_the_file(
    cast: Cast, settings: Any, word: bytes, status: int
) -> None:
    walked = walk(cast)
    scanner = Scanner(word)
    settings.FIRM_CLAMD = scanner.address
    sent = SimpleUploadedFile("a.pdf", b"x" * 200_000)
    said = {"title": "Result", "author": "A laboratory", "file": sent}
    answer = cast.owner.client().post(at("paper-list", walked.visit.pk), said)
    scanner.join(timeout=10)
    assert answer.status_code == status
    assert scanner.got == b"x" * 200_000
    assert [one.scan for one in Attachment.objects.all()] == ["CLEAN"] * (status == 302)
    settings.FIRM_CLAMD = "127.0.0.1:9"  # nobody listens there
    sent.seek(0)
    assert (
        cast.owner.client().post(at("paper-list", walked.visit.pk), said).status_code
        == 400
    )


def test_a_complaint_holds_everything(released: Walk) -> None:
    office = released.cast.scheduler.client()
    page = at("complaint-list", released.visit.pk)
    said = {
        "said_by": "Dana Whitlow",
        "received_on": "2026-11-25",
        "how": "by letter",
        "words": "You said nothing of the roof.",
        "insurer_by": "2026-12-05",
    }
    assert office.post(page, said).status_code == 302
    assert office.post(page, {**said, "words": "And the cellar."}).status_code == 302
    assert Complaint.objects.count() == 2
    assert Hold.objects.filter(ended_at__isnull=True).count() == 1
    seen = {
        who: [one.code for one in blockers(actor, released.visit)]
        for who, actor in (
            ("reviewer", released.cast.reviewer.actor),
            ("owner", released.cast.owner.actor),
        )
    }
    assert "in-dispute" in seen["reviewer"]
    assert "in-dispute" not in seen["owner"]
    assert released.cast.ines.client().get(page).status_code == 403


def test_the_fee_holds_a_report_until_the_law_wants_it(cast: Cast) -> None:
    walked = walk(cast)
    walked.clients("Dana Whitlow", signed=False)
    far = timezone.now() + timedelta(days=30)
    Visit.objects.update(
        fee_cents=50_000, starts_at=far, ends_at=far + timedelta(hours=3)
    )
    visit = Visit.objects.select_related("property").get()
    codes = {one.code for one in blockers(cast.owner.actor, visit)}
    assert {"fee-owed", "agreement-unsigned"} <= codes
    let_go = at("override-record", visit.pk)
    early = {"what": "PAYMENT", "because": "The buyer must decide tonight."}
    assert cast.reviewer.client().post(let_go, early).status_code == 403
    assert cast.owner.client().post(let_go, early).status_code == 409

    Visit.objects.update(decide_by_at=timezone.now() + timedelta(hours=5))
    page = cast.owner.client().get(at("release-read", visit.pk)).content.decode()
    assert "although the fee is not paid" in page
    assert cast.owner.client().post(let_go, early).status_code == 302
    visit.refresh_from_db()
    codes = {one.code for one in blockers(cast.owner.actor, visit)}
    assert "fee-owed" not in codes
    assert "agreement-unsigned" in codes
    again = cast.owner.client().post(let_go, early)
    assert again.status_code == 409
