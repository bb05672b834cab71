"""Chromium over a profile that stays, in a process group that can be killed whole."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Playwright

from firm.embedded.places import free_port
from tests.support.browser import CHROMIUM


@contextmanager
def chromium_on(profile: Path, hand: Playwright) -> Iterator[tuple[Any, Browser]]:
    """Start Chromium in a process group of its own over a profile that stays."""
    port = free_port("9333")
    process = subprocess.Popen(
        [
            CHROMIUM,
            *("--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run"),
            f"--remote-debugging-port={port}",
            f"--user-data-dir={profile}",
            "about:blank",
        ],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        yield process, _connected(hand, port)
    finally:
        kill(process)


def _connected(hand: Playwright, port: str) -> Browser:
    until = time.monotonic() + 30
    while True:
        try:
            return hand.chromium.connect_over_cdp(f"http://127.0.0.1:{port}")
        except Exception:
            if time.monotonic() > until:
                raise
            time.sleep(0.2)


def kill(process: subprocess.Popen[bytes]) -> None:
    with suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()
