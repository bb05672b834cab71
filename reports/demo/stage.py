"""Everything that has to run for the demo: database, files, web, worker, clock."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.core.management import call_command

from firm import env, jobs
from firm.embedded import stack
from firm.embedded.places import ROOT
from firm.embedded.supervise import Supervisor


@dataclass(frozen=True, slots=True)
class Stage:
    """The running application: its address, and who keeps it running."""

    address: str
    supervisor: Supervisor


def prepare() -> None:
    """Bring tables and collected files up to date; quick when they are."""
    call_command("migrate", database="owner", interactive=False, verbosity=0)
    call_command("collectstatic", interactive=False, verbosity=0)


@contextmanager
def running() -> Iterator[Stage]:
    """Run web, worker and clock on a free port; all stop when the block ends."""
    port = stack.web_port()
    address = f"http://127.0.0.1:{port}"
    environment = {
        **env.all_of(),
        "FIRM_BASE_URL": address,
        "FIRM_HOSTS": "127.0.0.1,localhost",
        "FIRM_DEBUG": "no",
    }
    logs = Path(settings.VAR_DIR) / "log"
    with Supervisor(logs=logs, environment=environment, root=ROOT) as supervisor:
        for service in (stack.web(port), stack.worker(jobs.QUEUES), stack.clock()):
            supervisor.start(service)
        yield Stage(address, supervisor)
