"""The inbox of somebody: letters that the application wrote into its mail folder."""

import re
import time
from collections.abc import Iterator
from email import message_from_bytes, policy
from email.message import EmailMessage
from pathlib import Path

from reports.demo.walk.visitor import WalkFailed

_LINE = b"\n" + b"-" * 79 + b"\n"
_WAIT_S = 20.0
_EVERY_S = 0.1


class Inbox:
    """Letters to anybody since this inbox was opened."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.opened = time.time() - 1

    def link(self, to: str, path: str) -> str:
        """Return the newest address under a path in the letters to somebody.

        Waits a little: a letter leaves when what it tells of is committed.
        """
        wanted = re.compile(rf"https?://\S+?({re.escape(path)}[\w-]+)")
        until = time.monotonic() + _WAIT_S
        while time.monotonic() < until:
            found = [
                match[1]
                for letter in self._letters(to)
                if (match := wanted.search(letter.get_content()))
            ]
            if found:
                return found[-1]
            time.sleep(_EVERY_S)
        raise WalkFailed(f"No letter with a link under {path} came for {to}.")

    def _letters(self, to: str) -> Iterator[EmailMessage]:
        files = self.folder.glob("*.log") if self.folder.is_dir() else ()
        recent = [p for p in files if p.stat().st_mtime >= self.opened]
        for path in sorted(recent, key=lambda p: (p.stat().st_mtime, p.name)):
            for raw in path.read_bytes().split(_LINE):
                letter = message_from_bytes(raw, policy=policy.default)
                if to.lower() in str(letter.get("To", "")).lower():
                    yield letter
