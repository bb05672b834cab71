"""Random kills of the worker that releases: python -m tests.drills.kills.

Each kill is SIGKILL to a real process somewhere in its work. After each, and at the
end, a release is there as a whole or not at all. Prints the figure last.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import sys
import time
from collections import Counter
from dataclasses import dataclass, field

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "firm.settings_test")
os.environ["KINGPOST_TEST_DB"] = f"kills{os.getpid()}"
django.setup()

from django.conf import settings  # noqa: E402
from django.db import connections  # noqa: E402
from django.utils import timezone  # noqa: E402

from firm import jobs  # noqa: E402
from firm.models import Installation, Job  # noqa: E402
from firm.tenancy import bound  # noqa: E402
from reports.models import Artefact, Release  # noqa: E402
from tests.drills.whole import torn  # noqa: E402
from tests.faults.world import Database, make_committed_cast  # noqa: E402
from tests.support.released import BECAUSE, freeze, signed  # noqa: E402
from tests.support.walked import Walk  # noqa: E402

KILLS_EACH = 4  # a piece of work that lost its worker five times is given up


@dataclass
class Tally:
    """Where kills fell, and what was ever found torn."""

    kills: int = 0
    after_the_end: int = 0
    fell: Counter[str] = field(default_factory=Counter)
    torn: list[str] = field(default_factory=list)


class Worker:
    """One forked process that does one piece of work, unless it is killed before."""

    def __init__(self, walked: Walk) -> None:
        # No connection may be shared with it.
        connections.close_all()
        self.pid = os.fork()
        if self.pid == 0:
            firm_id = str(walked.cast.northside.pk)
            try:
                jobs.run_next(firm_id=firm_id, queue="reports")
            finally:
                os._exit(0)

    def kill_after(self, seconds: float) -> bool:
        """Let it work for so long, then kill it; say whether it was still at it."""
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            if os.waitpid(self.pid, os.WNOHANG)[0]:
                return False
            time.sleep(0.002)
        os.kill(self.pid, signal.SIGKILL)
        return os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1]) < 0

    def finish(self) -> None:
        os.waitpid(self.pid, 0)


def main() -> int:
    reader = argparse.ArgumentParser(prog="python -m tests.drills.kills")
    reader.add_argument("--kills", type=int, default=50)
    reader.add_argument(
        "--seed", type=int, default=random.SystemRandom().randrange(10**6)
    )
    asked = reader.parse_args()
    print(f"seed {asked.seed}, software {settings.FIRM_VERSION}")
    begun, tally = time.monotonic(), Tally()
    settings.FIRM_JOB_LEASES_RENEWED, settings.FIRM_JOBS_RAISE = True, False
    with Database():
        issues = _drill(asked.kills, random.Random(asked.seed), tally)
    for where, often in sorted(tally.fell.items()):
        print(f"  {often:4} {where}")
    for one in tally.torn:
        print(f"  TORN {one}")
    print(
        f"{tally.kills} kills of the worker over {issues} issues in"
        f" {time.monotonic() - begun:.0f} s: {len(tally.torn)} half releases or doubles"
    )
    return 0 if not tally.torn and tally.kills >= asked.kills else 1


def nothing_rings(firm_id: str, queue: str) -> None:
    """The workers of the drill find the work by themselves."""


def _drill(kills: int, chance: random.Random, tally: Tally) -> int:
    Installation.objects.get_or_create()
    jobs.ring = nothing_rings  # nobody but our workers works here
    cast = make_committed_cast()
    with bound(cast.northside.pk):
        walked = signed(cast)
        freeze(walked)
    took = time.monotonic()
    Worker(walked).finish()
    took = time.monotonic() - took
    issues = 1
    while tally.kills < kills:
        with bound(cast.northside.pk):
            freeze(walked, f"{BECAUSE} ({issues})")
        issues += 1
        left = min(chance.randrange(1, KILLS_EACH + 1), kills - tally.kills)
        _one_issue(walked, chance, tally, (left, took))
    return issues


def _one_issue(
    walked: Walk,
    chance: random.Random,
    tally: Tally,
    plan: tuple[int, float],
) -> None:
    left, took = plan
    for _ in range(left):
        # Half of them anywhere, half near the end, where the release is shown.
        share = chance.choice((chance.random(), 0.6 + chance.random() * 0.45))
        if Worker(walked).kill_after(share * took):
            tally.kills += 1
            tally.fell[_stands(walked)] += 1
        else:
            tally.after_the_end += 1
        _look(walked, tally, done=False)
        _lease_runs_out(walked)
    Worker(walked).finish()
    _look(walked, tally, done=True)
    print(f"  {tally.kills} kills, {len(tally.torn)} torn", flush=True)


def _stands(walked: Walk) -> str:
    """Say how far the newest issue had come when its worker was killed."""
    with bound(walked.cast.northside.pk):
        row = Release.objects.order_by("-issue")[0]
        files = Artefact.objects.filter(release=row).count()
        return f"{row.get_state_display()}, {files} files kept"


def _lease_runs_out(walked: Walk) -> None:
    """Half a minute passes, as far as the work is concerned."""
    with bound(walked.cast.northside.pk):
        Job.objects.filter(state=Job.State.RUNNING).update(lease_until=timezone.now())


def _look(walked: Walk, tally: Tally, *, done: bool) -> None:
    with bound(walked.cast.northside.pk):
        tally.torn += torn(walked.cast.reviewer.actor, walked.visit, done=done)


if __name__ == "__main__":
    sys.exit(main())
