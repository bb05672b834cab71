"""An urgent notice: frozen from a hazard, never changed, corrected by a later one."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from django.db import DatabaseError, connection, transaction
from django.db.models import F
from django.test.utils import CaptureQueriesContext
from pypdf import PdfReader

from firm import jobs
from firm.models import AuditEntry
from reports.models import UrgentFile, UrgentNotice
from reports.services import urgent
from tests.support.cast import Cast
from tests.support.reviewed import at
from tests.support.walked import NOW, Walk, walk

pytestmark = pytest.mark.django_db

SAID = "Live metal can be touched at the switch by the stairs."


def with_hazard(cast: Cast, **fields: Any) -> Walk:
    walked = walk(cast)
    walked.record(
        hazard={
            "kind": "hazard",
            "stop": "s-svc",
            "what": SAID,
            "told": "Dana Whitlow",
            "told_how": "by_phone",
            "told_at": "2026-11-24T15:20:00Z",
            "left_off": "the breaker of that circuit",
            **fields,
        }
    )
    walked.picture("shock", stop="s-svc", use="shows_it", about="hazard")
    return walked


def freeze(walked: Walk, person: Any = None, **form: Any) -> Any:
    client = (person or walked.cast.ines).client()
    typed = {"record": walked.id("hazard"), **form}
    return client.post(at("urgent-freeze", walked.visit), typed)


def contents(row: UrgentNotice) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(bytes(row.contents))
    return told


def test_a_notice_says_what_who_how_when_and_shows_the_photo(cast: Cast) -> None:
    walked = with_hazard(cast)

    assert freeze(walked).status_code == 302

    told = contents(UrgentNotice.objects.get())
    assert told["what"] == SAID
    assert (told["told"], told["told_how"]) == ("Dana Whitlow", "by phone")
    assert told["told_local"] == "November 24, 2026, 10:20 a.m."
    assert told["left_off"] == "the breaker of that circuit"
    assert (told["inspector"], told["licence"]) == ("Ines Field", "NC N-1")
    assert [photo["id"] for photo in told["photos"]] == [walked.id("shock")]
    entry = AuditEntry.objects.get(event="urgent_notice.frozen")
    assert entry.detail["contents_sha256"] == UrgentNotice.objects.get().contents_sha256


def test_what_is_recorded_later_changes_no_notice(cast: Cast) -> None:
    walked = with_hazard(cast)
    freeze(walked)
    walked.record(hazard={"what": "It was the other switch."})

    row = UrgentNotice.objects.get()
    page = cast.ines.client().get(at("urgent-read", row)).content.decode()

    assert contents(row)["what"] == SAID
    assert SAID in page
    assert "the other switch" not in page


def test_the_database_refuses_a_change(cast: Cast) -> None:
    freeze(with_hazard(cast))

    for act in (
        lambda: UrgentNotice.objects.update(contents=b"{}"),
        lambda: UrgentNotice.objects.update(number=F("number") + 1),
        lambda: UrgentNotice.objects.all().delete(),
    ):
        with pytest.raises(DatabaseError), transaction.atomic():
            act()


def test_a_correction_is_a_notice_of_its_own(cast: Cast) -> None:
    walked = with_hazard(cast)
    freeze(walked)
    first = UrgentNotice.objects.get()
    walked.record(hazard={"what": "It was the switch in the hall."})

    without = freeze(walked)
    silent = freeze(walked, replaces=first.pk)
    said = freeze(walked, replaces=first.pk, reason="The place was wrong.")

    assert (without.status_code, silent.status_code) == (409, 400)
    assert said.status_code == 302
    second = UrgentNotice.objects.get(number=2)
    assert second.replaces == first
    assert contents(second)["replaces"]["reason"] == "The place was wrong."
    assert contents(second)["replaces"]["number"] == contents(first)["number"]
    assert contents(first)["what"] == SAID
    page = cast.reviewer.client().get(at("urgent-read", first)).content.decode()
    assert "A later notice corrects this one" in page
    assert freeze(walked, replaces=first.pk, reason="Again.").status_code == 409


def test_a_hazard_that_says_too_little_is_not_frozen(cast: Cast) -> None:
    walked = walk(cast)
    walked.record(hazard={"kind": "hazard", "stop": "s-svc", "what": SAID})

    response = freeze(walked)

    assert response.status_code == 409
    assert "who was told" in response.content.decode()
    assert freeze(walked, record=walked.id("s-svc")).status_code == 400
    assert not UrgentNotice.objects.exists()


def test_a_picture_still_under_way_is_counted_and_one_for_the_firm_left_out(
    cast: Cast,
) -> None:
    walked = with_hazard(cast)
    walked.picture("late", stored=False, stop="s-svc", about="hazard")
    walked.picture("own", stop="s-svc", use="for_me", about="hazard")

    freeze(walked)

    told = contents(UrgentNotice.objects.get())
    assert [photo["id"] for photo in told["photos"]] == [walked.id("shock")]
    assert told["not_arrived"] == 1


def test_the_pdf_is_made_once_and_holds_the_frozen_contents(cast: Cast) -> None:
    walked = with_hazard(cast)
    freeze(walked)
    row = UrgentNotice.objects.get()
    client = cast.ines.client()
    assert client.get(at("urgent-pdf", row)).status_code == 404

    jobs.run_next(firm_id=str(cast.northside.pk), queue="reports")
    urgent.make_file(actor=cast.ines.actor, notice_id=str(row.pk))

    made = UrgentFile.objects.get()
    response = client.get(at("urgent-pdf", row))
    pdf = PdfReader(io.BytesIO(response.content))
    words = " ".join(page.extract_text() for page in pdf.pages)
    assert response["ETag"] == f'"{made.sha256}"'
    assert pdf.attachments["urgent-notice.json"] == [bytes(row.contents)]
    assert "Live metal can be touched" in words
    assert "Dana Whitlow, by phone" in words
    assert "'/Marked': True" in str(pdf.root_object["/MarkInfo"])
    assert len(pdf.pages[0].images) == 1


def test_only_the_notices_own_pictures_are_served(cast: Cast) -> None:
    walked = with_hazard(cast)
    freeze(walked)
    row = UrgentNotice.objects.get()
    own = contents(row)["photos"][0]["renditions"]["large"]["sha256"]
    client = cast.ines.client()

    assert client.get(at("urgent-photo", row, own)).status_code == 200
    assert client.get(at("urgent-photo", row, "0" * 64)).status_code == 404


def test_who_freezes_and_who_reads(cast: Cast) -> None:
    walked = with_hazard(cast)
    answers = {
        name: freeze(walked, getattr(cast, name)).status_code
        for name in ("scheduler", "omar", "trainee", "stranger")
    }
    assert answers == {"scheduler": 403, "omar": 404, "trainee": 404, "stranger": 404}
    assert freeze(walked, cast.reviewer).status_code == 302
    row = UrgentNotice.objects.get()
    assert row.frozen_at > NOW
    seen = {
        name: getattr(cast, name).client().get(at("urgent-read", row)).status_code
        for name in ("owner", "reviewer", "ines", "scheduler", "omar", "stranger")
    }
    assert seen == {
        "owner": 200,
        "reviewer": 200,
        "ines": 200,
        "scheduler": 404,
        "omar": 404,
        "stranger": 404,
    }


def test_the_list_asks_the_same_however_many_notices(cast: Cast) -> None:
    walked = with_hazard(cast)
    client, counts = cast.reviewer.client(), []
    for number in range(3):
        key = f"more-{number}"
        walked.record(**{key: {"kind": "hazard", "what": SAID, "told": "Dana"}})
        freeze(walked, record=walked.id(key))
        with CaptureQueriesContext(connection) as caught:
            response = client.get(at("urgent-list", walked.visit))
        assert len(response.context["page"].notices) == number + 1
        counts.append(len(caught))
    assert len(response.context["page"].waiting) == 1

    assert len(set(counts)) == 1, counts
