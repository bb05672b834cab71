"""One command with both servers running around it, stopped after the last one."""

import fcntl
import signal
import subprocess
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from types import FrameType

from firm.embedded import servers
from firm.embedded.places import Instance, read_facts


def run(place: Instance, command: list[str], environment: Mapping[str, str]) -> int:
    """Run a command beside the servers and return its exit code.

    Servers that somebody started to stay, or that another command still uses, stay.
    """
    with _used(place):
        child = {**environment, **servers.start(place, to_stay=False)}
        return _wait_for(subprocess.Popen(command, env=child))


def _wait_for(process: subprocess.Popen[bytes]) -> int:
    def pass_on(number: int, _frame: FrameType | None) -> None:
        process.send_signal(number)

    # Ctrl-C reaches the child by itself; ours is only to wait for it.
    before = signal.signal(signal.SIGINT, lambda _number, _frame: None)
    before_term = signal.signal(signal.SIGTERM, pass_on)
    try:
        code = process.wait()
    finally:
        signal.signal(signal.SIGINT, before)
        signal.signal(signal.SIGTERM, before_term)
    return code if code >= 0 else 128 - code


@contextmanager
def _used(place: Instance) -> Iterator[None]:
    """Hold a share in the servers; whoever gives up the last share stops them."""
    place.home.mkdir(parents=True, exist_ok=True)
    with (place.home / "users.lock").open("w") as handle:
        fcntl.flock(handle, fcntl.LOCK_SH)
        try:
            yield
        finally:
            with suppress(BlockingIOError):
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                if "stay" not in read_facts(place):
                    servers.stop(place)
