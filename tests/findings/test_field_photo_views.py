"""Photos through the page, their served copies, answers to proposals, my day."""

from __future__ import annotations

import hashlib
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from findings.models import Rendition
from findings.services import renditions
from firm import storage
from firm.models import Job
from inspections.models import Contact, LogRow, Party, PhotoFile, Visit
from tests.support.cast import Cast
from tests.support.field import fill, hidden, records, started, url
from tests.support.pictures import photo, quarters
from tests.support.visits import STARTS, make_visit

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(cast: Cast) -> Visit:
    return make_visit(cast.ines)


@pytest.fixture
def stop(cast: Cast, visit: Visit) -> str:
    return started(cast, visit, cast.ines.client())["Kitchen"]


def picture(content: bytes, name: str = "IMG_1.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content, content_type="image/jpeg")


def send(client: Client, visit: Visit, stop: str, content: bytes, **more: Any) -> Any:
    page = client.get(url("stop-read", visit, stop))
    sent = {"use": "shows_it", "caption": "Under the sink", **hidden(page), **more}
    return client.post(
        url("photo-add", visit, stop), sent | {"photo": picture(content)}
    )


def test_a_picture_becomes_a_record_an_original_and_a_job(
    cast: Cast, visit: Visit, stop: str
) -> None:
    content = photo(quarters(320, 240))
    client = cast.ines.client()
    assert send(client, visit, stop, content).status_code == 302

    ((key, record),) = records(cast, visit, "photo").items()
    file = PhotoFile.objects.get(pk=key)
    digest = hashlib.sha256(content).hexdigest()
    assert record["sha256"] == file.sha256 == digest
    assert record["size"] == file.size == len(content)
    assert (record["stop"], record["caption"]) == (stop, "Under the sink")
    assert file.state == PhotoFile.State.STORED
    assert storage.get(file.storage_key) == content
    assert Job.objects.filter(task="findings.make_renditions", key=key).exists()
    page = client.get(url("stop-read", visit, stop)).content.decode()
    assert "Under the sink" in page


def test_a_picture_sent_twice_is_one(cast: Cast, visit: Visit, stop: str) -> None:
    content, client = photo(quarters(32, 24)), cast.ines.client()
    form = hidden(client.get(url("stop-read", visit, stop)))
    for _ in range(2):
        sent = form | {"use": "general_view", "photo": picture(content)}
        assert client.post(url("photo-add", visit, stop), sent).status_code == 302

    assert PhotoFile.objects.count() == 1
    assert len(records(cast, visit, "photo")) == 1


@pytest.mark.parametrize("content", [b"GIF89a nothing", b"<svg></svg>", b"x"])
def test_what_is_no_picture_is_refused_whole(
    cast: Cast, visit: Visit, stop: str, content: bytes
) -> None:
    entries = LogRow.objects.count()
    page = send(cast.ines.client(), visit, stop, content)

    assert page.status_code == 400
    assert list(page.context["photo_form"].errors) == ["photo"]
    assert b"Under the sink" in page.content
    assert PhotoFile.objects.count() == 0
    assert LogRow.objects.count() == entries


def test_no_picture_chosen_is_said(cast: Cast, visit: Visit, stop: str) -> None:
    page = cast.ines.client().post(
        url("photo-add", visit, stop), {"caption": "a long story"}
    )

    assert page.status_code == 400
    assert b"Choose or take a picture first" in page.content
    assert b"a long story" in page.content


def copies(cast: Cast, visit: Visit, stop: str) -> str:
    send(cast.ines.client(), visit, stop, photo(quarters(320, 240)))
    (key,) = records(cast, visit, "photo")
    renditions.make(actor=cast.ines.actor, photo_id=key)
    return key


def test_copies_are_served_to_those_who_may_read(
    cast: Cast, visit: Visit, stop: str
) -> None:
    key = copies(cast, visit, stop)
    for size in ("thumb", "large", "print"):
        address = reverse("photo-read", args=["northside", key, size])
        for person in (cast.ines, cast.reviewer, cast.owner):
            response = person.client().get(address)
            assert response.status_code == 200
            assert response["Content-Type"] == "image/jpeg"
            assert response["X-Content-Type-Options"] == "nosniff"
            assert "private" in response["Cache-Control"]
            assert response.content.startswith(b"\xff\xd8\xff")
        for person in (cast.omar, cast.stranger, cast.scheduler):
            assert person.client().get(address).status_code == 404
        assert Client().get(address).status_code == 302
    assert Rendition.objects.count() == 3


def test_there_is_no_address_of_the_original(
    cast: Cast, visit: Visit, stop: str
) -> None:
    key = copies(cast, visit, stop)
    for size in ("original", "huge", "THUMB"):
        address = reverse("photo-read", args=["northside", key, size])
        assert cast.ines.client().get(address).status_code == 404


def odd(cast: Cast, visit: Visit, client: Client, stop: str) -> Any:
    """An odd receptacle at a closed stop: the rules have something to say."""
    told = {"place": "left of the sink", "lamps": ["hot_neutral"], "contacts": "three",
            "repeated": "on"}  # fmt: skip
    fill(client, url("receptacle-write", visit, stop, uuid4()), **told)
    client.get(url("stop-leave", visit, stop))
    client.post(url("stop-close", visit, stop), {"reason": "a test"})
    page = client.get(url("stop-read", visit, stop)).context["page"]
    return next(row for row in page.proposals if not row.asks)


def decision(cast: Cast, visit: Visit) -> dict[str, Any]:
    (found,) = records(cast, visit, "decision").values()
    return found


def test_a_proposal_is_used_and_taken_back(cast: Cast, visit: Visit, stop: str) -> None:
    client = cast.ines.client()
    row = odd(cast, visit, client, stop)
    back = client.post(row.decide_url, {"key": row.key, "choice": "use"})
    assert back["Location"] == f"{url('stop-read', visit, stop)}#means"
    assert decision(cast, visit)["choice"] == "use"

    client.post(row.decide_url, {"key": row.key, "choice": "open"})
    assert "choice" not in decision(cast, visit)
    page = client.get(url("stop-read", visit, stop)).context["page"]
    assert row.key in [one.key for one in page.proposals]


def test_a_proposal_is_changed_with_a_reason(
    cast: Cast, visit: Visit, stop: str
) -> None:
    client = cast.ines.client()
    row = odd(cast, visit, client, stop)
    told = {"consequence": "did_not_work", "timing": "first_year",
            "reason_text": "behind a cabinet"}  # fmt: skip
    client.post(row.decide_url, {"key": row.key, "choice": "change", **told})

    held = decision(cast, visit)
    assert {name: held[name] for name in told} == told


def test_not_here_wants_a_reason(cast: Cast, visit: Visit, stop: str) -> None:
    client = cast.ines.client()
    row = odd(cast, visit, client, stop)
    sent = {"key": row.key, "choice": "not_here"}
    page = client.post(row.decide_url, sent, follow=True)
    assert b"Choose why it is not here" in page.content
    assert records(cast, visit, "decision") == {}

    client.post(row.decide_url, sent | {"reason": "could_not_see_enough"})
    page = client.get(url("stop-read", visit, stop)).context["page"]
    assert row.key not in [one.key for one in page.proposals]
    assert any("not enough could be seen" in one.value for one in page.decided)


@pytest.mark.parametrize(
    "wrong",
    [
        {"key": "elec.no.such:thing", "choice": "use"},
        {"choice": "perhaps"},
        {"choice": "change", "consequence": "satisfactory", "timing": "today"},
        {"choice": "not_here", "reason": "because"},
    ],
)
def test_a_bad_answer_is_refused_in_words(
    cast: Cast, visit: Visit, stop: str, wrong: dict[str, str]
) -> None:
    client = cast.ines.client()
    row = odd(cast, visit, client, stop)
    page = client.post(row.decide_url, {"key": row.key, **wrong}, follow=True)

    assert page.status_code == 200
    assert list(page.context["messages"])
    assert records(cast, visit, "decision") == {}


def test_the_origin_leads_nowhere_else(cast: Cast, visit: Visit) -> None:
    address = url("proposal-decide", visit)
    for origin in ("https://elsewhere.example", "//x", "panel:zz", ""):
        response = cast.ines.client().post(f"{address}?from={origin}", {})
        assert response["Location"] == url("visit-read", visit)


def test_a_visit_with_an_open_answer_is_not_handed_in(
    cast: Cast, visit: Visit, stop: str
) -> None:
    client = cast.ines.client()
    row = odd(cast, visit, client, stop)
    page = client.post(url("visit-hand-in", visit))

    assert page.status_code == 409
    assert row.title in page.content.decode()
    leave = client.get(url("visit-leave", visit)).context["page"]
    assert not leave.can_hand_in
    client.post(row.decide_url, {"key": row.key, "choice": "use"})
    assert client.get(url("visit-leave", visit)).context["page"].can_hand_in


def day(cast: Cast, client: Client, on: str = "2026-11-24") -> Any:
    return client.get(reverse("my-day", args=["northside"]) + f"?day={on}")


def test_my_day_has_my_visits_of_the_day(cast: Cast, visit: Visit) -> None:
    client_of = Contact.objects.create(firm=cast.northside, name="Ada Buyer")
    Party.objects.create(
        firm=cast.northside, visit=visit, contact=client_of, part=Party.As.CLIENT
    )
    make_visit(cast.omar, "R-2026-0002")
    make_visit(cast.ines, "R-2026-0003", STARTS + timedelta(days=1))

    page = day(cast, cast.ines.client()).context["page"]
    assert [row.visit_id for row in page.visits] == [str(visit.pk)]
    assert page.visits[0].clients == ("Ada Buyer",)
    assert page.visits[0].url == url("visit-read", visit)
    assert b"2026-11-25" in page.later_url.encode()


def test_my_day_is_an_inspectors(cast: Cast, visit: Visit) -> None:
    assert day(cast, cast.ines.client(), "not a day").status_code == 200
    assert day(cast, cast.scheduler.client()).status_code == 403
    assert day(cast, cast.stranger.client()).status_code == 404


def test_my_day_asks_the_same_however_many_visits(
    cast: Cast, visit: Visit, django_assert_num_queries: Any
) -> None:
    client, counts = cast.ines.client(), []
    for hour in (4, 8):
        with django_assert_num_queries(20, exact=False) as caught:
            assert day(cast, client).status_code == 200
        counts.append(len(caught))
        make_visit(cast.ines, f"R-2026-010{hour}", STARTS + timedelta(hours=hour))

    assert len(set(counts)) == 1
