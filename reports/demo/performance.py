"""Sets the demo's people going in a running application, and keeps what came of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from reports.demo import firms, password, story
from reports.demo.walk import office
from reports.demo.walk.inbox import Inbox
from reports.demo.walk.pace import Pace
from reports.demo.walk.party import Party
from reports.demo.walk.walking import walk
from reports.selectors.newest import newest_released
from reports.services.founding import SignIn


def load() -> list[SignIn]:
    """Load the invented firms; return who can sign in."""
    return firms.load(Path(settings.VAR_DIR), timezone.localdate())


def party(address: str, go_on: Callable[[], None]) -> Party:
    """Call together the people of one walk."""
    var = Path(settings.VAR_DIR)
    keep = var / "walkthrough"
    keep.mkdir(parents=True, exist_ok=True)
    return Party(
        address=address,
        password=password.kept(var),
        inbox=Inbox(Path(settings.EMAIL_FILE_PATH)),
        keep=keep,
        today=timezone.localdate(),
        go_on=go_on,
    )


def perform(people: Party, say: Callable[[str], None]) -> None:
    """Walk once through the whole job. Raises StepFailed."""
    walk(people, Pace(say, people.go_on))


def perform_once(people: Party, say: Callable[[str], None]) -> None:
    """Walk unless this database has a released visit; then only make a new link."""
    done = newest_released(story.firm()["firm"]["slug"])
    if done is None:
        perform(people, say)
        return
    people.visit = str(done)
    Pace(say, people.go_on).step(
        "Tobias makes a new link to the report that is there",
        lambda: office.make_client_link(people, after_consent=True),
    )
