"""What a link shows and hides: SL-06, SL-07 and SL-09."""

from __future__ import annotations

import io
import re
import time
import zipfile
from datetime import timedelta

import pytest
from django.contrib.auth.hashers import check_password
from django.core import mail
from django.db import connection
from django.test import Client
from django.utils import timezone
from PIL import Image
from pypdf import PdfReader

from reports.models import LinkOpening, Release, ShareLink
from reports.services import after_release, opening, told
from tests.reports.shared import agent, door, reader, released_report
from tests.support.cast import Cast
from tests.support.walked import Walk

pytestmark = pytest.mark.django_db


@pytest.fixture
def released(cast: Cast) -> Walk:
    return released_report(cast)


def pdf_text(content: bytes) -> str:
    return " ".join(
        page.extract_text() for page in PdfReader(io.BytesIO(content)).pages
    )


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", re.sub(r"<[^>]+>", " ", text))


def test_sl_06_an_agents_link_shows_the_front_page_and_nothing_else(
    released: Walk,
) -> None:
    """SL-06: fields and photos outside the scope are absent, from the PDF too."""
    row = Release.objects.get()
    whole = told.snapshot_of(row)
    assert whole.systems
    _, token = door(released, agent(released, "SUMMARY"))
    person = reader(token)
    page = squeezed(person.get("/r/report/").content.decode())
    pdf = person.get("/r/report/report.pdf").content
    text = squeezed(pdf_text(pdf))

    inside = [one for one in whole.findings if one.id in whole.front.items]
    outside = [one for one in whole.findings if one.id not in whole.front.items]
    for one in inside:
        for words in (one.words.seen, one.words.action, one.sentence):
            assert squeezed(words) in page
            assert squeezed(words) in text
    hidden = [one.words.seen for one in outside]
    hidden += [pair.text for one in whole.systems for pair in one.described]
    hidden += [line for one in whole.systems for line in one.looked]
    hidden += [one.text for one in whole.told] + list(whole.disclosures)
    hidden += [one.name for one in whole.panels]
    for words in filter(None, hidden):
        assert squeezed(words) not in page, words
        assert squeezed(words) not in text, words
    assert PdfReader(io.BytesIO(pdf)).attachments == {}
    for path in ("people", "list", "list.pdf", "papers/" + "0" * 64):
        assert person.get(f"/r/report/{path}").status_code == 404
    shown = {photo for one in inside for photo in one.photos}
    for photo in whole.photos:
        expected = 200 if photo.id in shown else 404
        got = person.get(f"/r/report/photos/{photo.id}/large").status_code
        assert got == expected
    with zipfile.ZipFile(io.BytesIO(zipped(person))) as archive:
        assert len(archive.namelist()) == len(shown)


def zipped(person: Client) -> bytes:
    answer = person.get("/r/report/photos.zip")
    return answer.getvalue()


def test_sl_06_a_front_page_without_items_shows_none(released: Walk) -> None:
    """SL-06: trades outside the front page have no sheet for such a reader."""
    row = Release.objects.get()
    whole = told.snapshot_of(row)
    _, token = door(released, agent(released, "SUMMARY"))
    person = reader(token)
    seen = {one.trade.key for one in whole.findings if one.id in whole.front.items}
    for trade in {one.trade.key for one in whole.findings} | {"roofer", "nobody"}:
        expected = 200 if trade in seen else 404
        assert person.get(f"/r/report/trade/{trade}.pdf").status_code == expected


def test_sl_07_guessing_is_cut_off(released: Walk) -> None:
    """SL-07: of many random tokens in a minute no more than 60 reach the database."""
    asked: list[str] = []

    def count(execute, sql, params, many, context):
        if "capabilitydoor" in sql:
            asked.append(sql)
        return execute(sql, params, many, context)

    guesser, begun = Client(), time.monotonic()
    with connection.execute_wrapper(count):
        answers = [guesser.get(f"/r/{n:043}").status_code for n in range(200)]
    # A slow machine may see more than one minute begin.
    allowed = 60 * (1 + int((time.monotonic() - begun) // 60))
    assert len(asked) == answers.count(404) <= allowed
    assert answers.count(429) >= 200 - allowed
    _, token = door(released)
    elsewhere = Client(REMOTE_ADDR="198.51.100.7")
    assert elsewhere.get(f"/r/{token}").status_code == 200


def test_sl_07_a_code_is_compared_twenty_times_and_locks(
    released: Walk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SL-07: many codes at one link from 50 addresses: 20 compared, then locked."""
    compared: list[str] = []

    def counted(code: str, kept: str) -> bool:
        compared.append(code)
        return check_password(code, kept)

    monkeypatch.setattr(opening, "check_password", counted)
    now = [timezone.now()]
    monkeypatch.setattr("reports.views.share.timezone.now", lambda: now[0])
    link, token = door(released, code="482913")
    codes = [f"{number:06}" for number in range(120)]
    caller = Client()
    for number, code in enumerate(codes):
        if number % 15 == 0:
            now[0] += timedelta(minutes=16)
        address = f"203.0.113.{number % 50}"
        tried = caller.post(f"/r/{token}", {"code": code}, REMOTE_ADDR=address)
        assert tried.status_code == 400
    link.refresh_from_db()
    assert len(compared) == 20
    assert link.locked_at is not None
    assert LinkOpening.objects.filter(action="wrong_code").count() == 20
    # Even the right code is not looked at any more; the firm is told.
    assert Client().post(f"/r/{token}", {"code": "482913"}).status_code == 400
    assert len(compared) == 20


def test_a_code_opens_and_five_wrong_ones_make_wait(released: Walk) -> None:
    _, token = door(released, code="482913")
    person = Client()
    page = person.get(f"/r/{token}").content.decode()
    assert "The code we told you" in page
    assert person.post(f"/r/{token}").status_code == 400
    assert person.post(f"/r/{token}", {"code": " 482913 "}).status_code == 302
    assert "482913" not in ShareLink.objects.get().code
    for _ in range(4):
        person.post(f"/r/{token}", {"code": "000000"})
    waiting = person.post(f"/r/{token}", {"code": "482913"})
    assert b"Wait 15 minutes" in waiting.content


def test_sl_09_no_served_picture_says_where_or_by_what_it_was_taken(
    released: Walk,
) -> None:
    """SL-09: no EXIF, XMP, IPTC, comment or GPS: renditions, ZIP and PDF."""
    row = Release.objects.get()
    photo = told.snapshot_of(row).photos[0]
    for copy in (photo.renditions.large, photo.renditions.print):
        after_release.lighten(str(row.firm_id), copy.sha256)
    _, token = door(released)
    person = reader(token)
    served = [
        person.get(f"/r/report/photos/{photo.id}/{size}", HTTP_ACCEPT=kinds)
        for size in ("large", "print", "thumb")
        for kinds in ("*/*", "image/webp,*/*", "image/avif,image/webp,*/*")
    ]
    assert {answer["Content-Type"] for answer in served} >= {"image/jpeg"}
    pictures = [answer.content for answer in served]
    with zipfile.ZipFile(io.BytesIO(zipped(person))) as archive:
        pictures += [archive.read(name) for name in archive.namelist()]
    pdf = PdfReader(io.BytesIO(person.get("/r/report/report.pdf").content))
    pictures += [image.data for page in pdf.pages for image in page.images]
    assert len(pictures) > len(served)
    told_of = [marks_in(content) for content in pictures]
    assert told_of == [[] for _ in pictures]
    # The check sees what it looks for.
    assert marks_in(marked_picture()) == ["exif", "comment"]


def marks_in(content: bytes) -> list[str]:
    """Name what a picture says of its making beside its pixels."""
    found = []
    with Image.open(io.BytesIO(content)) as picture:
        if len(picture.getexif()):
            found.append("exif")
        kinds = ("xmp", "photoshop", "comment")
        found += [key for key in kinds if picture.info.get(key)]
    return found


def marked_picture() -> bytes:
    out = io.BytesIO()
    picture = Image.new("RGB", (8, 8))
    exif = picture.getexif()
    exif[0x010F] = "A maker"
    picture.save(out, "JPEG", exif=exif, comment=b"taken at home")
    return out.getvalue()


def test_a_locked_link_is_told_to_the_firm(
    released: Walk, django_capture_on_commit_callbacks
) -> None:
    link, token = door(released, code="482913")
    wrong = [
        LinkOpening(
            firm_id=link.firm_id,
            link=link,
            at=timezone.now() - timedelta(hours=2),
            action="wrong_code",
        )
        for _ in range(19)
    ]
    LinkOpening.objects.bulk_create(wrong)
    with django_capture_on_commit_callbacks(execute=True):
        Client().post(f"/r/{token}", {"code": "111111"})
    assert mail.outbox[-1].to == ["office@northside.example.com"]
    assert "locked" in mail.outbox[-1].subject
    assert token not in str(mail.outbox[-1].body)
