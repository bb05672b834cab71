"""Share links as trust.md A3 wants them: SL-01 to SL-05, SL-08 and SL-10."""

from __future__ import annotations

import io
import logging
import re
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core import mail
from django.db import connection
from django.test import Client
from django.utils import timezone
from django.utils.log import AdminEmailHandler

from firm import settings as settings_module
from firm.log_words import WithoutSecrets
from firm.models import Job
from reports.models import LinkKey, LinkOpening, Release, ShareLink
from reports.services import owed, releases, share_links
from tests.reports.shared import (
    agent,
    client_party,
    door,
    mailed_token,
    reader,
    released_report,
    status,
    work_off,
)
from tests.support.cast import Cast
from tests.support.walked import NOW, Walk

pytestmark = pytest.mark.django_db

SCANNERS = (
    "Mozilla/5.0 (compatible; LinkScan/2.1)",
    "Mozilla/5.0 (Windows NT 10.0) Safe-Check",
    "facebookexternalhit/1.1",
    "curl/8.5",
    "",
)
HEADERS = {
    "X-Robots-Tag": "noindex, nofollow, noarchive",
    "Cache-Control": "private, no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
}


@pytest.fixture
def released(cast: Cast) -> Walk:
    return released_report(cast)


def dump() -> str:
    """Every row of every table that the application can read, as text."""
    with connection.cursor() as cursor:
        cursor.execute(
            "select table_name from information_schema.tables "
            "where table_schema = 'public' order by 1"
        )
        tables = [row[0] for row in cursor.fetchall()]
        out = []
        for table in tables:
            cursor.execute(f'select t::text from "{table}" t')
            out += [row[0] for row in cursor.fetchall()]
    return "\n".join(out)


def test_sl_01_scanners_open_nothing_and_the_person_still_can(released: Walk) -> None:
    """SL-01: 10 GET and 10 HEAD by scanners, then a person opens."""
    _, token = door(released)
    before = ShareLink.objects.values().get()
    for number in range(10):
        agent_name = SCANNERS[number % len(SCANNERS)]
        for method in ("get", "head"):
            answer = getattr(Client(), method)(
                f"/r/{token}", HTTP_USER_AGENT=agent_name
            )
            assert answer.status_code == 200
    assert LinkOpening.objects.filter(action="opened").count() == 0
    assert ShareLink.objects.values().get() == before

    person = reader(token)
    assert person.get("/r/report/").status_code == 200
    assert LinkOpening.objects.filter(action="opened").count() == 1
    assert reader(token).get("/r/report/").status_code == 200  # never a one-time link


def test_sl_02_the_token_stands_nowhere_but_in_the_letter(
    released: Walk, caplog: pytest.LogCaptureFixture, settings: Any
) -> None:
    """SL-02: not in the database, the jobs, the logs or an error report."""
    written = io.StringIO()
    handler = logging.StreamHandler(written)
    handler.addFilter(log_filter())
    logging.getLogger().addHandler(handler)
    try:
        share_links.send_link(
            actor=released.cast.scheduler.actor,
            visit=released.visit,
            party=client_party(released),
            address="http://testserver",
            now=timezone.now(),
        )
        work_off(released)
        token = mailed_token()
        person = reader(token)
        assert person.get("/r/report/").status_code == 200
        ShareLink.objects.update(revoked_at=timezone.now())
        assert Client().get(f"/r/{token}").status_code == 410
        assert Client().get(f"/r/{token[:-1]}x").status_code == 404
    finally:
        logging.getLogger().removeHandler(handler)

    assert token not in dump()
    assert LinkKey.objects.get().last_four == token[-4:]
    assert [job.args for job in Job.objects.filter(task=share_links.TASK)] == [
        {"link_id": str(ShareLink.objects.get().pk), "address": "http://testserver"}
    ]
    assert "Gone: /r/" in written.getvalue()
    assert token not in written.getvalue()
    assert token[:-1] not in written.getvalue()
    assert mail.outbox[-1].to == ["dana@example.net"]
    assert reports_of_errors_are_off(settings)


def log_filter() -> logging.Filter:
    """The filter that the settings put on every handler of ours."""
    handlers: Any = settings_module.LOGGING["handlers"]
    assert handlers["console"]["filters"] == ["no_secrets"]
    return WithoutSecrets()


def reports_of_errors_are_off(settings: Any) -> bool:
    """No handler mails requests with their addresses to anybody."""
    handlers = logging.getLogger("django").handlers
    mailing = [one for one in handlers if isinstance(one, AdminEmailHandler)]
    return settings.ADMINS == [] and all(one.level >= logging.ERROR for one in mailing)


def test_sl_03_the_landing_page_tells_nothing(released: Walk) -> None:
    """SL-03: no address, no name, no photo, before somebody opens."""
    _, token = door(released)
    page = Client().get(f"/r/{token}").content.decode()

    house = released.visit.property
    told = ["Dana", "Whitlow", house.street, house.city, released.visit.number, "<img"]
    told += [row.words.seen for row in released.findings() if row.words]
    assert [one for one in told if one in page] == []
    assert "og:" not in page
    assert re.findall(r"""(?:src|href)=["']https?://""", page) == []


def test_sl_04_a_closed_link_closes_everything_at_once(released: Walk) -> None:
    """SL-04: page, photo, PDF, sheets and photos are refused from the next request."""
    link, token = door(released)
    person = reader(token)
    photo = f"/r/report/photos/{released.id('ph-13')}/large"
    paths = ["/r/report/", "/r/report/gallery", "/r/report/report.pdf", photo]
    paths += ["/r/report/photos.zip", "/r/report/list", "/r/report/questions"]
    assert {status(person, path) for path in paths} == {200}

    share_links.revoke(actor=released.cast.owner.actor, link=link, now=timezone.now())
    assert {status(person, path) for path in paths} == {410}
    assert person.get(paths[0], HTTP_IF_NONE_MATCH="*").status_code == 410
    page = Client().get(f"/r/{token}")
    assert page.status_code == 410
    assert b"Send me a new one" not in page.content


def test_sl_04_what_is_signed_for_storage_lasts_five_minutes() -> None:
    """SL-04: files reach a reader through us; an address of storage is short-lived."""
    source = Path(settings_module.__file__).read_text()
    assert '"querystring_expire": 300' in source


def test_sl_05_one_reports_link_opens_nothing_of_another(
    released: Walk, cast: Cast
) -> None:
    """SL-05: ids of another report of the same firm and client are unknown."""
    other = released_report(cast, number="R-2026-0002", starts=NOW + timedelta(days=9))
    _, token = door(released)
    person = reader(token)

    mine, theirs = released.id("ph-13"), other.id("ph-13")
    assert person.get(f"/r/report/photos/{mine}/thumb").status_code == 200
    for size in ("thumb", "print", "large"):
        assert person.get(f"/r/report/photos/{theirs}/{size}").status_code == 404
    theirs_release = Release.objects.get(visit=other.visit)
    assert person.get(f"/f/northside/releases/{theirs_release.pk}/report/").status_code
    assert other.visit.number.encode() not in person.get("/r/report/").content


def test_sl_08_every_answer_carries_its_headers(released: Walk) -> None:
    """SL-08: pages, files, refusals and forms under /r/."""
    _, token = door(released)
    person = reader(token)
    photo = f"/r/report/photos/{released.id('ph-13')}/print"
    paths = ["/r/report/", "/r/report/gallery", "/r/report/report.pdf", photo]
    paths += ["/r/report/photos.zip", "/r/report/list", "/r/report/questions"]
    paths += ["/r/report/people", "/r/report/nothing", f"/r/{token}", f"/r/{'x' * 43}"]
    answers = [person.get(path) for path in paths]
    answers += [Client().get("/r/report/"), Client().post(f"/r/{token}/new")]
    answers += [Client().put(f"/r/{token}")]

    for answer in answers:
        if answer.streaming:
            answer.getvalue()
        for name, value in HEADERS.items():
            assert answer[name] == value, (answer.status_code, name)
        assert answer["Referrer-Policy"] in {"no-referrer", "strict-origin"}
        policy = answer["Content-Security-Policy"]
        assert "http:" not in policy
        assert "https:" not in policy
    robots = Client().get("/robots.txt")
    assert b"Disallow: /r/" in robots.content


def test_sl_10_what_is_not_out_opens_by_no_link(released: Walk) -> None:
    """SL-10: a report under way, or taken back, is unknown to every link."""
    _, token = door(released)
    person = reader(token)
    row = Release.objects.get()
    second = releases.release(
        actor=released.cast.reviewer.actor,
        visit=released.visit,
        now=NOW,
        correction=releases.Correction("A word.", "NOBODY"),
    )
    assert second.state == Release.State.RELEASING
    assert f"issue {row.issue}," in person.get("/r/report/").content.decode()

    owed.take_back(
        actor=released.cast.owner.actor, release=row, because="Sent wrongly.", now=NOW
    )
    paths = ["/r/report/", "/r/report/report.pdf", "/r/report/photos.zip"]
    paths.append(f"/r/report/photos/{released.id('ph-13')}/thumb")
    assert {status(person, path) for path in paths} == {404}
    assert Client().get(f"/r/{token}").status_code == 404


def test_a_link_that_ran_out_is_renewed_to_the_stored_address(released: Walk) -> None:
    _, token = door(released)
    ShareLink.objects.update(expires_at=timezone.now() - timedelta(minutes=1))
    page = Client().get(f"/r/{token}")
    assert (page.status_code, b"Send me a new one" in page.content) == (410, True)
    assert b"dana" not in page.content.lower()

    asked = Client().post(f"/r/{token}/new", {"email": "thief@example.com"})
    again = Client().post(f"/r/{token}/new")
    told = [re.findall(rb"<h1>.*</h1>|<p>.*</p>", a.content) for a in (asked, again)]
    assert told[0] == told[1]
    assert b"dana" not in asked.content.lower()
    work_off(released)
    assert [message.to for message in mail.outbox] == [["dana@example.net"]]
    assert reader(mailed_token()).get("/r/report/").status_code == 200
    assert Client().get(f"/r/{token}").status_code == 410  # the old one stays closed


def test_nothing_is_renewed_without_consent_or_after_revoking(released: Walk) -> None:
    link, token = door(released, agent(released))
    share_links.revoke(actor=released.cast.owner.actor, link=link, now=timezone.now())
    ShareLink.objects.update(expires_at=timezone.now() - timedelta(minutes=1))

    assert Client().post(f"/r/{token}/new").status_code == 200
    work_off(released)
    assert mail.outbox == []


def test_a_letter_sent_twice_opens_the_same_door_twice(released: Walk) -> None:
    link = share_links.send_link(
        actor=released.cast.scheduler.actor,
        visit=released.visit,
        party=client_party(released),
        address="http://testserver",
        now=timezone.now(),
    )
    work_off(released)
    first = mailed_token()
    # A crash after the letter went and before that was noted.
    ShareLink.objects.filter(pk=link.pk).update(sent_at=None)
    job = Job.objects.get(task=share_links.TASK)
    share_links.deliver(
        actor=released.cast.scheduler.actor,
        job_id=job.pk,
        link_id=str(link.pk),
        address="http://testserver",
    )

    names = {message.extra_headers["Message-ID"] for message in mail.outbox}
    assert len(mail.outbox) == 2
    assert len(names) == 1
    for token in (first, mailed_token()):
        assert reader(token).get("/r/report/").status_code == 200


def test_a_client_takes_a_consent_back(released: Walk) -> None:
    _, token = door(released, agent(released))
    theirs = reader(token)
    assert theirs.get("/r/report/").status_code == 200
    _, own = door(released)
    client = reader(own)
    page = client.get("/r/report/people").content.decode()
    action = re.search(r"/r/report/people/[\w-]+/withdraw", page)
    assert action

    assert client.post(action.group(0)).status_code == 302
    assert theirs.get("/r/report/").status_code == 410
    assert client.post(action.group(0)).status_code == 404
    assert theirs.post(action.group(0)).status_code == 410
