"""The supervisor: waits for health, names who died, and leaves no process behind."""

import os
import signal
import subprocess
import sys
import textwrap
import threading
import time
from pathlib import Path

import pytest

from firm.embedded import stack
from firm.embedded.places import ROOT, EmbeddedError, is_free
from firm.embedded.supervise import Service, ServiceDied, Supervisor
from firm.env import all_of

SLEEP = (sys.executable, "-c", "import time; print('up', flush=True); time.sleep(60)")
# A service whose own child outlives it unless the whole group is ended.
WITH_CHILD = (
    "sh",
    "-c",
    "trap '' TERM; sleep 60 & echo $! > child; echo up; wait; sleep 60",
)


def is_up(log: Path) -> bool:
    return "up" in log.read_text()


def is_alive(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"


def wait_until(ready, seconds: float = 20) -> bool:
    deadline = time.monotonic() + seconds
    while not ready():
        if time.monotonic() > deadline:
            return False
        time.sleep(0.05)
    return True


@pytest.fixture
def supervisor(tmp_path):
    return Supervisor(logs=tmp_path, environment=all_of(), root=tmp_path)


def pid_of(supervisor: Supervisor, name: str) -> int:
    return supervisor._running[name].pid


def test_leaving_the_block_ends_every_service(supervisor):
    with supervisor:
        supervisor.start(Service("one", SLEEP, is_up))
        supervisor.start(Service("two", SLEEP, is_up))
        pids = [pid_of(supervisor, "one"), pid_of(supervisor, "two")]
        assert all(is_alive(pid) for pid in pids)

    assert not any(is_alive(pid) for pid in pids)


def test_a_service_that_dies_is_named_with_its_last_words(supervisor):
    dying = (sys.executable, "-c", "print('up'); raise SystemExit('out of paper')")
    with supervisor:
        supervisor.start(Service("steady", SLEEP, is_up))
        with pytest.raises(ServiceDied, match=r"(?s)printer ended.*out of paper"):
            supervisor.start(Service("printer", dying, lambda _log: False))
        steady = pid_of(supervisor, "steady")

    assert not is_alive(steady)


def test_watching_notices_a_death(supervisor):
    with supervisor:
        supervisor.start(Service("victim", SLEEP, is_up))
        os.kill(pid_of(supervisor, "victim"), signal.SIGKILL)
        with pytest.raises(ServiceDied, match="victim ended by itself"):
            supervisor.watch()


def test_a_service_that_is_never_ready_is_given_up(supervisor):
    with supervisor, pytest.raises(EmbeddedError, match="slow is not ready"):
        supervisor.start(Service("slow", SLEEP, lambda _log: False, ready_seconds=1))


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_signal_ends_the_watch_quietly(supervisor, number):
    before = signal.getsignal(number)
    with supervisor:
        supervisor.start(Service("one", SLEEP, is_up))
        threading.Timer(0.3, os.kill, (os.getpid(), number)).start()
        supervisor.watch()
        pid = pid_of(supervisor, "one")

    assert not is_alive(pid)
    assert signal.getsignal(number) == before


@pytest.mark.slow
def test_a_stubborn_service_and_its_children_are_killed(supervisor, tmp_path):
    with supervisor:
        supervisor.stop_seconds = 1
        supervisor.start(Service("stubborn", WITH_CHILD, is_up))
        assert wait_until((tmp_path / "child").exists)
        pids = [pid_of(supervisor, "stubborn"), int((tmp_path / "child").read_text())]

    assert wait_until(lambda: not any(is_alive(pid) for pid in pids))


def test_a_killed_supervisor_leaves_nothing_running(tmp_path):
    script = textwrap.dedent(
        f"""
        import os
        from pathlib import Path
        from firm.embedded.supervise import Service, Supervisor
        logs = Path({str(tmp_path)!r})
        with Supervisor(logs=logs, environment=os.environ, root=logs) as supervisor:
            supervisor.start(Service("one", {SLEEP!r}))
            (logs / "pid").write_text(str(supervisor._running["one"].pid))
            supervisor.watch()
        """
    )
    parent = subprocess.Popen([sys.executable, "-c", script], cwd=ROOT)
    try:
        assert wait_until((tmp_path / "pid").exists)
        assert wait_until(lambda: (tmp_path / "pid").read_text() != "")
    finally:
        parent.kill()
        parent.wait()

    pid = int((tmp_path / "pid").read_text())
    assert wait_until(lambda: not is_alive(pid))


def test_the_web_server_gets_a_port_that_is_free():
    port = stack.web_port()

    assert is_free(int(port))
    assert port in " ".join(stack.web(port).command)
