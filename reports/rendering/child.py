"""Render a PDF in a process of its own: limited, without secrets, safe to kill."""

import ctypes
import os
import resource
import signal
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import msgspec

from reports.rendering.cut import Cut
from reports.rendering.reading import BadSnapshot, from_bytes

ROOT = Path(__file__).resolve().parent.parent.parent
MEMORY = 2 * 1024**3
LARGEST_FILE = 64 * 1024**2
REFUSED, BROKEN = 3, 4
PARENT_GONE = 1  # prctl: PR_SET_PDEATHSIG
NEW_USER_AND_NET = 0x10000000 | 0x40000000  # unshare: CLONE_NEWUSER, CLONE_NEWNET
FORBIDDEN = (
    "socket.",
    "subprocess.",
    "os.system",
    "os.exec",
    "os.posix_spawn",
    "os.fork",
)


class Order(msgspec.Struct, frozen=True):
    """What the parent sends down the pipe."""

    snapshot: bytes
    assets: dict[str, bytes]
    paper: str
    parent: int
    cut: Cut | None = None
    kind: str = "report"


class RenderRefused(ValueError):
    """The snapshot or its pictures are not what they should be."""


class RenderFailed(RuntimeError):
    """The process ran out of time or memory, was killed, or broke."""


def render(
    snapshot: bytes,
    assets: Mapping[str, bytes],
    *,
    paper: str = "letter",
    seconds: int = 120,
    cut: Cut | None = None,
) -> bytes:
    """Return the PDF made by a limited child; nothing is left behind if we are killed.

    `cut` asks for a part of the report in place of the whole.

    Raises RenderRefused when a second try would end the same, RenderFailed otherwise.
    """
    order = Order(snapshot, _needed(snapshot, assets), paper, os.getpid(), cut)
    return _made(order, seconds)


def render_notice(
    contents: bytes,
    assets: Mapping[str, bytes],
    *,
    paper: str = "letter",
    seconds: int = 60,
) -> bytes:
    """Return the PDF of an urgent notice, made and limited in the same way."""
    order = Order(contents, dict(assets), paper, os.getpid(), kind="notice")
    return _made(order, seconds)


def _made(order: Order, seconds: int) -> bytes:
    try:
        done = subprocess.run(  # noqa: S603 - our own module, no shell, no outside words
            [sys.executable, "-m", "reports.rendering.child", str(seconds)],
            input=msgspec.msgpack.encode(order),
            capture_output=True,
            timeout=seconds,
            check=False,
            cwd=ROOT,
            # Nothing is inherited: no database address, no keys. A fixed hash seed
            # keeps the bytes the same for the same snapshot.
            env={"LANG": "C.UTF-8", "PYTHONHASHSEED": "0"},
        )
    except subprocess.TimeoutExpired as error:
        raise RenderFailed(f"not done after {seconds} seconds") from error
    if done.returncode == 0 and done.stdout.startswith(b"%PDF-"):
        return done.stdout
    last = done.stderr.decode("utf-8", "replace").strip().splitlines()[-1:]
    reason = last[0][:1000] if last else f"ended with {done.returncode}"
    if done.returncode == REFUSED:
        raise RenderRefused(reason)
    raise RenderFailed(reason)


def _needed(snapshot: bytes, assets: Mapping[str, bytes]) -> dict[str, bytes]:
    try:
        told = from_bytes(snapshot)
    except BadSnapshot as error:
        raise RenderRefused(str(error)) from error
    names = {photo.renditions.print.sha256 for photo in told.photos}
    names |= {
        photo.renditions.large.sha256
        for photo in told.photos
        if photo.id == told.cover_photo
    }
    return {name: assets[name] for name in names if name in assets}


def _limit(seconds: int, parent: int) -> None:
    libc = ctypes.CDLL(None, use_errno=True)
    # Killing the worker must not leave its child rendering for nobody.
    libc.prctl(PARENT_GONE, signal.SIGKILL)
    if os.getppid() != parent:
        os._exit(BROKEN)
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
    resource.setrlimit(resource.RLIMIT_FSIZE, (LARGEST_FILE, LARGEST_FILE))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    # An empty network of its own where the kernel allows it; the hook holds anyway.
    libc.unshare(NEW_USER_AND_NET)
    sys.addaudithook(_refuse)


def _refuse(event: str, _arguments: tuple[object, ...]) -> None:
    if event.startswith(FORBIDDEN):
        raise PermissionError(f"rendering may not use {event}")


def main() -> int:
    # Imported late: the parent needs none of it.
    from reports.rendering import cut_pdf, notice, pdf  # noqa: PLC0415

    order = msgspec.msgpack.decode(sys.stdin.buffer.read(), type=Order)
    _limit(int(sys.argv[1]), order.parent)
    paper: pdf.Paper = "a4" if order.paper == "a4" else "letter"
    try:
        if order.cut is not None:
            data = cut_pdf.build(order.snapshot, order.assets, order.cut, paper=paper)
        elif order.kind == "notice":
            data = notice.build(order.snapshot, order.assets, paper=paper)
        else:
            data = pdf.build(order.snapshot, order.assets, paper=paper)
    except (BadSnapshot, pdf.RefusedAsset) as refusal:
        sys.stderr.write(f"\n{refusal}\n")
        return REFUSED
    sys.stdout.buffer.write(data)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
