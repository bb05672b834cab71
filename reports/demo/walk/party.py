"""Everybody who walks: one browser each, and what the walk knows so far."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import ExitStack
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self
from uuid import UUID

from reports.demo import story
from reports.demo.script import Script
from reports.demo.walk.inbox import Inbox
from reports.demo.walk.visitor import Visitor, WalkFailed


@dataclass(slots=True)
class Party:
    """The people of one walk, and the visit as far as it has come."""

    address: str
    password: str
    inbox: Inbox
    keep: Path
    today: date
    go_on: Callable[[], None]
    every_photo: bool = True
    visit: str = ""
    number: str = ""
    starts: datetime | None = None
    script: Script | None = None
    share: str = ""
    agent_share: str = ""
    # The findings' pages, and what each of them said when it was read first.
    findings: dict[str, str] = field(default_factory=dict)
    _visitors: dict[str, Visitor] = field(default_factory=dict)
    _open: ExitStack = field(default_factory=ExitStack)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._open.close()

    @property
    def run(self) -> str:
        """Return what tells this walk's records from those of another."""
        return self.visit

    def member(self, key: str) -> Visitor:
        """Return a person of the firm at a browser, signed in."""
        if key not in self._visitors:
            person = self.person(key)
            visitor = self._new(key, str(person["name"]))
            visitor.sign_in(str(person["email"]), self.password)
        return self._visitors[key]

    def outsider(self, key: str) -> Visitor:
        """Return a client or an agent at a browser; they have no account."""
        if key not in self._visitors:
            self._new(key, str(self.contact(key)["name"]))
        return self._visitors[key]

    def person(self, key: str) -> Mapping[str, Any]:
        people = [*story.firm()["people"], *story.neighbours()["people"]]
        return _by_key(people, key)

    def contact(self, key: str) -> Mapping[str, Any]:
        return _by_key(story.firm()["contacts"], key)

    def firm_path(self, path: str) -> str:
        return f"/f/{story.firm()['firm']['slug']}/{path}"

    def visit_path(self, path: str = "") -> str:
        """Return an address of the firm's pages about this visit."""
        return self.firm_path(f"visits/{self.visit}/{path}")

    def finding_path(self, says: str) -> str:
        """Return the page of the finding that has these words."""
        for path, text in self.findings.items():
            if says in text:
                return path
        raise WalkFailed(f"No finding says “{says}”.")

    def visit_id(self) -> UUID:
        return UUID(self.visit)

    def written(self) -> Script:
        if self.script is None:
            raise WalkFailed("Nothing was recorded yet.")
        return self.script

    def _new(self, key: str, name: str) -> Visitor:
        visitor = self._open.enter_context(Visitor(self.address, name, self.go_on))
        self._visitors[key] = visitor
        return visitor


def _by_key(rows: list[Mapping[str, Any]], key: str) -> Mapping[str, Any]:
    return next(row for row in rows if row["key"] == key)
