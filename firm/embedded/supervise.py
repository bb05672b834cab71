"""A handful of processes kept together: all healthy, or all stopped and one blamed."""

import ctypes
import os
import signal
import subprocess
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType, TracebackType
from typing import Self

from firm.embedded.places import EmbeddedError

POLL_SECONDS = 0.1
PR_SET_PDEATHSIG = 1
LOG_LINES = 12
LIBC = ctypes.CDLL(None)


class ServiceDied(EmbeddedError):
    """A process ended by itself; the text names it and ends with its last words."""


@dataclass(frozen=True, slots=True)
class Service:
    """What to run, and how to tell that it is ready to work."""

    name: str
    command: tuple[str, ...]
    is_ready: Callable[[Path], bool] = lambda _log: True
    ready_seconds: int = 60


@dataclass(slots=True)
class Supervisor:
    """Starts services in groups of their own; leaving the block stops them all."""

    logs: Path
    environment: Mapping[str, str]
    root: Path
    stop_seconds: float = 15
    _running: dict[str, subprocess.Popen[bytes]] = field(default_factory=dict)
    # A plain flag: a lock taken in a signal handler could wait for itself.
    _asked_to_stop: bool = False
    _old_handlers: dict[int, object] = field(default_factory=dict)

    def __enter__(self) -> Self:
        self.logs.mkdir(parents=True, exist_ok=True)
        for number in (signal.SIGINT, signal.SIGTERM):
            self._old_handlers[number] = signal.signal(number, self._on_signal)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        for name in list(self._running)[::-1]:
            self.stop(name)
        for number, handler in self._old_handlers.items():
            signal.signal(number, handler)  # type: ignore[arg-type]  # what it was

    def start(self, service: Service) -> None:
        """Start one service and return when it is ready.

        Raises ServiceDied when it ends first, EmbeddedError when it takes too long,
        KeyboardInterrupt when we are asked to stop meanwhile.
        """
        log = self.logs / f"{service.name}.log"
        with log.open("wb") as output:
            self._running[service.name] = subprocess.Popen(
                service.command,
                cwd=self.root,
                env=dict(self.environment),
                stdin=subprocess.DEVNULL,
                stdout=output,
                stderr=subprocess.STDOUT,
                start_new_session=True,
                preexec_fn=_end_with_parent,  # noqa: PLW1509 - no threads hold locks yet
            )
        deadline = time.monotonic() + service.ready_seconds
        while not service.is_ready(log):
            self.check()
            if time.monotonic() > deadline:
                raise EmbeddedError(f"{service.name} is not ready.\n{last_words(log)}")
            time.sleep(POLL_SECONDS)

    def check(self) -> None:
        """Raise ServiceDied for a dead service, KeyboardInterrupt when told to stop."""
        if self._asked_to_stop:
            raise KeyboardInterrupt
        self._blame_the_dead()

    def watch(self) -> None:
        """Stay until told to stop; raise ServiceDied when a service ends before."""
        while not self._asked_to_stop:
            self._blame_the_dead()
            time.sleep(POLL_SECONDS)

    def stop(self, name: str, *, at_once: bool = False) -> None:
        """End a service and all that it started: politely, then by force."""
        process = self._running.pop(name)
        signals = (signal.SIGKILL,) if at_once else (signal.SIGTERM, signal.SIGKILL)
        for number in signals:
            _signal_group(process.pid, number)
            try:
                process.wait(self.stop_seconds)
            except subprocess.TimeoutExpired:
                continue
            break
        # Children that outlived their parent share its group.
        _signal_group(process.pid, signal.SIGKILL)

    def _blame_the_dead(self) -> None:
        for name, process in self._running.items():
            if process.poll() is not None:
                words = last_words(self.logs / f"{name}.log")
                raise ServiceDied(
                    f"{name} ended by itself (code {process.returncode}).\n{words}"
                )

    def _on_signal(self, _number: int, _frame: FrameType | None) -> None:
        self._asked_to_stop = True


def last_words(log: Path) -> str:
    """Return the end of a log for a person to read."""
    lines = log.read_text(errors="replace").splitlines()[-LOG_LINES:]
    return "\n".join(f"  | {line}" for line in lines)


def _signal_group(group: int, number: signal.Signals) -> None:
    try:
        os.killpg(group, number)
    except ProcessLookupError:
        return


def _end_with_parent() -> None:
    # Even a supervisor that is killed outright leaves nothing behind.
    LIBC.prctl(PR_SET_PDEATHSIG, signal.SIGTERM)
