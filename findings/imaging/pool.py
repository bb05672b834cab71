"""The parent's side of the decoding processes: start, ask, time out, replace."""

import atexit
import contextlib
import os
import queue
import signal
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any, BinaryIO, cast

from findings.imaging.limits import PARENT_WALL_SECONDS
from findings.imaging.protocol import frame, read_frame

ROOT = Path(__file__).resolve().parents[2]
_START = (
    "import sys; sys.path.insert(0, sys.argv.pop(1)); "
    "from findings.imaging.child import main; main(sys.argv[1:])"
)
_KEPT_WARM = 2
# Nothing of ours, above all no secret. Large pages: each fork touches fresh memory,
# and page by page that costs a fifth of its time (glibc's own setting).
_ENVIRONMENT = {"LC_ALL": "C.UTF-8", "GLIBC_TUNABLES": "glibc.malloc.hugetlb=1"}


class Crashed(Exception):
    """The decoding process died, ran out of time or answered nonsense."""


class Decoder:
    """One warm process; it forks for each picture and never decodes itself."""

    def __init__(self, *, heic: bool) -> None:
        arguments = ["--heic"] if heic else []
        self._process = subprocess.Popen(  # noqa: S603
            [sys.executable, "-I", "-B", "-c", _START, str(ROOT), *arguments],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=_ENVIRONMENT,
            cwd="/",
            start_new_session=True,
        )
        self.owner = os.getpid()

    def ask(self, head: dict[str, Any], body: bytes) -> tuple[dict[str, Any], bytes]:
        """Send one request and wait for its answer, for a bounded time."""
        watch = threading.Timer(PARENT_WALL_SECONDS, self.kill)
        watch.start()
        try:
            stdin = cast("BinaryIO", self._process.stdin)
            stdin.write(frame(head, [body]))
            stdin.flush()
            answer = read_frame(cast("BinaryIO", self._process.stdout))
        except (OSError, ValueError) as error:
            raise Crashed from error
        finally:
            watch.cancel()
        if answer is None or "crashed" in answer[0]:
            raise Crashed
        return answer

    def kill(self) -> None:
        """End the process and whatever it forked."""
        if self._process.poll() is None:
            os.killpg(self._process.pid, signal.SIGKILL)

    def close(self) -> None:
        """End the process and collect it; a fork of the owner leaves it alone."""
        if self.owner != os.getpid():
            return
        self.kill()
        self._process.wait()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):
                    stream.close()


_idle: dict[bool, queue.LifoQueue[Decoder]] = {
    False: queue.LifoQueue(_KEPT_WARM),
    True: queue.LifoQueue(_KEPT_WARM),
}


def ask(
    head: dict[str, Any], body: bytes, *, heic: bool
) -> tuple[dict[str, Any], bytes]:
    """Have one picture worked on by an idle or a new process."""
    decoder = _take(heic=heic)
    try:
        answer = decoder.ask(head, body)
    except BaseException:
        decoder.close()
        raise
    try:
        _idle[heic].put_nowait(decoder)
    except queue.Full:
        decoder.close()
    return answer


def shut() -> None:
    """End the idle processes of this parent."""
    for waiting in _idle.values():
        while not waiting.empty():
            waiting.get_nowait().close()


def _take(*, heic: bool) -> Decoder:
    while True:
        try:
            decoder = _idle[heic].get_nowait()
        except queue.Empty:
            return Decoder(heic=heic)
        # A worker forked from us must not share our pipes.
        if decoder.owner == os.getpid():
            return decoder


atexit.register(shut)
