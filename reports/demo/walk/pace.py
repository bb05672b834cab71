"""One calm line for each step, with its time."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import httpx

from reports.demo.walk.visitor import WalkFailed


class StepFailed(Exception):
    """A step of the walk failed; the message names it and says why."""


@dataclass
class Pace:
    """Runs steps and says how each of them ended.

    `go_on` raises when the walk must not go on, because a server died or somebody
    asked to stop.
    """

    say: Callable[[str], None]
    go_on: Callable[[], None]

    def step(self, name: str, act: Callable[[], str]) -> None:
        """Run one step; what it returns ends its line. Raises StepFailed."""
        self.go_on()
        begun = time.monotonic()
        try:
            ending = act()
        except (WalkFailed, httpx.HTTPError) as problem:
            # A server that died says more than the answer that did not come.
            self.go_on()
            raise StepFailed(f"This step failed: {name}.\n{problem}") from problem
        took = time.monotonic() - begun
        self.say(f"{took:6.1f} s  {name}{': ' + ending if ending else ''}")

    def note(self, words: str) -> None:
        self.say(f"{'':6}    {words}")
