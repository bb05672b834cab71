"""Loads the firms, sets the people going, keeps what came of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from reports.demo import firms, password
from reports.demo.walk.inbox import Inbox
from reports.demo.walk.pace import Pace
from reports.demo.walk.party import Party
from reports.demo.walk.walking import walk


def perform(address: str, say: Callable[[str], None]) -> Party:
    """Walk once through a running application; return what came of it."""
    var = Path(settings.VAR_DIR)
    keep = var / "walkthrough"
    keep.mkdir(parents=True, exist_ok=True)
    with Party(
        address=address,
        password=password.kept(var),
        inbox=Inbox(Path(settings.EMAIL_FILE_PATH)),
        keep=keep,
        today=timezone.localdate(),
    ) as party:
        walk(party, Pace(say))
    return party


def load() -> None:
    firms.load(Path(settings.VAR_DIR), timezone.localdate())
