"""The whole job over real HTTP, as `make walkthrough` does it, with fewer photos."""

from pathlib import Path
from typing import Any

import pytest
from django.utils import timezone
from pypdf import PdfReader

from firm.models import Installation
from reports.demo import firms, password
from reports.demo.walk.inbox import Inbox
from reports.demo.walk.pace import Pace, StepFailed
from reports.demo.walk.party import Party
from reports.demo.walk.visitor import WalkFailed
from reports.demo.walk.walking import walk

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
