"""What makes up the running application: web, worker and the clock."""

import sys
from collections.abc import Callable
from http import HTTPStatus
from http.client import HTTPConnection, HTTPException
from pathlib import Path

from firm.embedded.places import ROOT, free_port
from firm.embedded.supervise import Service

PREFERRED_PORT = "8000"
WEB_PROCESSES = 2
WEB_THREADS = 4
WORKER_PROCESSES = 2


def web_port(wish: str = PREFERRED_PORT) -> str:
    """Return the wished port for the web server, or a free one."""
    return free_port(wish)


def web(port: str) -> Service:
    """Return the web server; ready when database and cache answer through it."""
    return Service(
        "web",
        (
            *(sys.executable, "-m", "gunicorn", "firm.wsgi:application"),
            *("--bind", f"127.0.0.1:{port}", "--no-control-socket"),
            *("--worker-class", "gthread", "--workers", str(WEB_PROCESSES)),
            *("--threads", str(WEB_THREADS), "--graceful-timeout", "5"),
        ),
        is_ready=_answers(port, "/readyz"),
    )


def worker(queues: tuple[str, ...], name: str = "worker") -> Service:
    """Return a worker for these queues; ready when it waits for work."""
    return Service(
        name,
        (
            *(sys.executable, "-m", "celery", "--app", "firm.celery", "worker"),
            *("--hostname", f"{name}@%h", "--queues", ",".join(queues)),
            *("--concurrency", str(WORKER_PROCESSES), "--loglevel", "INFO"),
            *("--without-gossip", "--without-mingle"),
        ),
        is_ready=_says(" ready."),
    )


def clock() -> Service:
    """Return the process that rings for what runs by the clock."""
    return Service(
        "clock",
        (
            *(sys.executable, "-m", "celery", "--app", "firm.celery", "beat"),
            *("--schedule", str(ROOT / "var" / "beat"), "--pidfile", ""),
            *("--loglevel", "INFO"),
        ),
        is_ready=_says("beat: Starting"),
    )


def _says(words: str) -> Callable[[Path], bool]:
    return lambda log: words in log.read_text(errors="replace")


def _answers(port: str, path: str) -> Callable[[Path], bool]:
    def is_ready(_log: Path) -> bool:
        link = HTTPConnection("127.0.0.1", int(port), timeout=5)
        try:
            link.request("GET", path)
            return link.getresponse().status == HTTPStatus.OK
        except (OSError, HTTPException):
            return False
        finally:
            link.close()

    return is_ready
