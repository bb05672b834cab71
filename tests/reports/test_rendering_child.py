"""The child that renders is limited, knows no secrets and dies with its worker."""

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from reports.rendering import child
from tests.support import snapshots

ROOT = Path(__file__).parent.parent.parent

WORKER = """
from tests.support import snapshots
from reports.rendering import child
plain = snapshots.full()
child.render(snapshots.canonical_bytes(plain), snapshots.assets(plain))
"""
LIMITED = "import os; from reports.rendering import child; child._limit(20, {}); {}"


@pytest.fixture(scope="module")
def plain():
    return snapshots.full()


def run_limited(statement):
    """Run a statement as the child would, after its limits are set."""
    code = LIMITED.format(os.getpid(), statement)
    return subprocess.run(
        [sys.executable, "-c", code],
        check=False,
        capture_output=True,
        text=True,
        cwd=ROOT,
    )


@pytest.mark.parametrize(
    ("statement", "ends_with"),
    [
        ("bytearray(3 * 1024**3)", "MemoryError"),
        (
            "import socket; socket.create_connection(('127.0.0.1', 1))",
            "PermissionError",
        ),
        ("import socket; socket.getaddrinfo('localhost', 1)", "PermissionError"),
        ("import subprocess; subprocess.run(['true'])", "PermissionError"),
        ("os.system('true')", "PermissionError"),
        ("os.fork()", "PermissionError"),
    ],
)
def test_what_it_may_not_do_fails(statement, ends_with):
    done = run_limited(statement)

    assert done.returncode == 1
    assert ends_with in done.stderr.splitlines()[-1]


def test_within_its_limits_it_works():
    assert run_limited("bytearray(10**8); print('done')").stdout == "done\n"


def test_too_slow_is_a_failure_that_may_be_tried_again(plain):
    with pytest.raises(child.RenderFailed, match="1 seconds"):
        child.render(
            snapshots.canonical_bytes(plain), snapshots.assets(plain), seconds=1
        )


def test_a_missing_picture_is_refused_and_named(plain):
    assets = snapshots.assets(plain)
    missing = plain["photos"][5]["renditions"]["print"]["sha256"]
    del assets[missing]

    with pytest.raises(child.RenderRefused, match=missing):
        child.render(snapshots.canonical_bytes(plain), assets)


def test_what_is_no_snapshot_starts_no_process():
    with pytest.raises(child.RenderRefused):
        child.render(b"{}", {})


@pytest.mark.slow
def test_it_has_no_secret_and_dies_with_its_worker():
    worker = subprocess.Popen(
        [shutil.which("env"), "FIRM_SECRET_KEY=canary", sys.executable, "-c", WORKER],
        cwd=ROOT,
    )
    renderer = first_child(worker.pid)
    # Not a name from our side reaches it; not even a path to look things up in.
    assert set(renderer.environ()) <= {"LANG", "PYTHONHASHSEED", "LC_CTYPE"}
    until(lambda: renderer.cpu_times().user > 0.5 or not renderer.is_running())

    worker.send_signal(signal.SIGKILL)
    worker.wait()

    until(lambda: not renderer.is_running() or renderer.status() == "zombie")


def first_child(pid):
    until(lambda: psutil.Process(pid).children())
    renderer = psutil.Process(pid).children()[0]
    until(lambda: "reports.rendering.child" in renderer.cmdline())
    return renderer


def until(condition, seconds=60):
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.02)
