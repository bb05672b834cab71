"""The whole job over real HTTP, as `make walkthrough` does it, with fewer photos."""

from pathlib import Path
from typing import Any

import pytest
from django.utils import timezone
from pypdf import PdfReader

from findings.models import Finding
from findings.selectors.review_words import remarks_on
from findings.selectors.shelf import house_of
from firm.actor import Actor
from firm.models import Firm, Installation
from firm.tenancy import bound
from inspections.models import Head
from reports.demo import firms, password
from reports.demo.walk.inbox import Inbox
from reports.demo.walk.pace import Pace, StepFailed
from reports.demo.walk.party import Party
from reports.demo.walk.visitor import WalkFailed
from reports.demo.walk.walking import walk
from reports.models import Release

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]


@pytest.fixture
def people(
    transactional_db: None, live_server: Any, settings: Any, tmp_path: Path
) -> Party:
    Installation.objects.get_or_create()
    settings.VAR_DIR = tmp_path
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = str(tmp_path / "mail")
    firms.load(tmp_path, timezone.localdate())
    return Party(
        address=live_server.url,
        password=password.kept(tmp_path),
        inbox=Inbox(tmp_path / "mail"),
        keep=tmp_path,
        today=timezone.localdate(),
        go_on=lambda: None,
        every_photo=False,
    )


@pytest.mark.timeout(300)
def test_the_main_job_from_the_booking_to_the_opened_report(people: Party) -> None:
    said: list[str] = []

    with people:
        walk(people, Pace(said.append, people.go_on))

    assert any("Agnes opens the report" in line for line in said)
    pdf = PdfReader(people.keep / "report.pdf")
    assert len(pdf.pages) > 10
    assert "208 Marlow Bend" in pdf.pages[0].extract_text()
    for name in ("report.html", "gallery.html"):
        assert "208 Marlow Bend" in (people.keep / name).read_text(encoding="utf-8")
    assert remarks_on_the_release() == []


def remarks_on_the_release() -> list[str]:
    """What the wording checks say of every sentence that was released."""
    found, read = [], 0
    for firm in Firm.objects.all():
        with bound(firm.pk):
            for release in Release.objects.select_related("visit"):
                for row in Finding.objects.filter(
                    visit=release.visit, state=Finding.State.SIGNED
                ):
                    house = house_of(Actor.system(firm))
                    stops = Head.objects.filter(visit=row.visit, field="name")
                    places = [str(one.value) for one in stops]
                    read += 1
                    found += [
                        f"{row.passage or row.source_key}: {one.part}: {one.message}"
                        for one in remarks_on(row, places, house)
                    ]
    assert read > 10
    return found


def test_a_step_that_fails_is_named_with_what_was_seen(people: Party) -> None:
    def act() -> str:
        with people:
            people.member("tobias").open("/no-such-page")
        return ""

    with pytest.raises(StepFailed) as failed:
        Pace(lambda _: None, people.go_on).step("Tobias looks for nothing", act)

    assert str(failed.value).startswith("This step failed: Tobias looks for nothing.")
    assert "404" in str(failed.value)


def test_a_wrong_password_ends_the_walk_in_words(people: Party) -> None:
    people.password = "not the one that was printed"

    with people, pytest.raises(WalkFailed, match="could not sign in"):
        people.member("ines")
