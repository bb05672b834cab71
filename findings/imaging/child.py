"""The process that decodes: warm, it forks once per picture, under limits.

Started by `pool` with an empty environment. The waiting process never looks into
a picture; each one is decoded in a fork that may not open a file or a socket,
start a process, write to disk or outlive its time.
"""

import contextlib
import gc
import os
import resource
import signal
import struct
import sys
import zlib
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from findings.imaging import heic, lettering, limits, pixels
from findings.imaging.lettering import Fonts
from findings.imaging.marks import parse
from findings.imaging.protocol import frame, read_frame
from findings.imaging.refused import Refused

NOBODY = 65534
FONTS = Path(__file__).resolve().parents[2] / "static" / "fonts"
Answer = tuple[dict[str, Any], list[bytes]]

# What decoders raise at bytes made to confuse them.
_DAMAGE = (
    OSError, SyntaxError, ValueError, TypeError, KeyError, IndexError, EOFError,
    OverflowError, AttributeError, struct.error, zlib.error, ZeroDivisionError,
)  # fmt: skip


def main(arguments: list[str]) -> None:
    """Load every decoder, then serve; arguments: [--heic]."""
    if "--heic" in arguments:
        heic.register()
    pixels.prepare()
    fonts = lettering.load(FONTS)
    gc.freeze()
    with contextlib.suppress(BrokenPipeError, KeyboardInterrupt):
        serve(partial(answer, fonts=fonts))


def answer(head: dict[str, Any], body: bytes, fonts: Fonts) -> Answer:
    """Do one request; a picture that cannot be read becomes a plain sentence."""
    try:
        if head["ask"] == "facts":
            return pixels.facts(body, head["kind"]), []
        made = pixels.copies(body, head["kind"], parse(head["marks"]), fonts)
    except Refused as refused:
        return {"refused": refused.reason}, []
    except MemoryError:
        return {"refused": "The picture needs more memory than one may take."}, []
    except _DAMAGE:
        return {"refused": "The picture is damaged or was cut off on the way."}, []
    copies = [{"name": name, "width": w, "height": h} for name, _, w, h in made]
    return {"copies": copies}, [blob for _, blob, _, _ in made]


def serve(job: Callable[[dict[str, Any], bytes], Answer]) -> None:
    """Answer framed requests until the parent closes the pipe."""
    while (request := read_frame(sys.stdin.buffer)) is not None:
        threaded = request[0].get("kind") == "heic"
        threads = limits.HEIC_THREADS if threaded else 0
        blob = _in_a_fork(partial(job, *request), threads)
        sys.stdout.buffer.write(blob or frame({"crashed": True}, []))
        sys.stdout.buffer.flush()


def _in_a_fork(work: Callable[[], Answer], threads: int = 0) -> bytes | None:
    """Return the fork's frame, or None when it died or said too much."""
    reader, writer = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(reader)
        _answer_and_leave(work, writer, threads)
    os.close(writer)
    with os.fdopen(reader, "rb") as pipe:
        blob = pipe.read(limits.MAX_ANSWER_BYTES + 1)
    fits = 0 < len(blob) <= limits.MAX_ANSWER_BYTES
    if not fits:
        os.kill(pid, signal.SIGKILL)
    _, status = os.waitpid(pid, 0)
    return blob if fits and status == 0 else None


def _answer_and_leave(work: Callable[[], Answer], writer: int, threads: int) -> None:
    code = 1
    try:
        _give_up_rights(writer, threads)
        with os.fdopen(writer, "wb") as pipe:
            pipe.write(frame(*work()))
        code = 0
    finally:
        # Whatever went wrong, a fork must never return into the serving loop.
        os._exit(code)


def _give_up_rights(writer: int, threads: int) -> None:
    null = os.open(os.devnull, os.O_RDWR)
    for number in (0, 1, 2):
        os.dup2(null, number)
    os.closerange(3, writer)
    os.closerange(writer + 1, 256)
    if os.geteuid() == 0:  # root is not bound by the process count below
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)
    for name, most in (
        (resource.RLIMIT_AS, limits.MEMORY_BYTES),
        (resource.RLIMIT_CPU, limits.CPU_SECONDS),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_NPROC, threads),
        (resource.RLIMIT_NOFILE, 0),  # no further file, no socket
    ):
        resource.setrlimit(name, (most, most))
    signal.alarm(limits.WALL_SECONDS)  # for a decoder that waits without computing
