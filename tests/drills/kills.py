"""Random kills of the worker that releases: python -m tests.drills.kills.

Each kill is SIGKILL to a real process somewhere in its work. After each, and at the
end, a release is there as a whole or not at all. Prints the figure last.
"""

from __future__ import annotations

import argparse
import os
import random
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

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
from tests.faults.world import ROOT, Database, make_committed_cast  # noqa: E402
from tests.support.released import BECAUSE, freeze, signed  # noqa: E402
from tests.support.walked import Walk  # noqa: E402

WORKER = """
import sys, django
django.setup()
from firm import jobs
from reports import tasks
print("ready", flush=True)
jobs.run_next(firm_id=sys.argv[1], queue="reports")
"""
KILLS_EACH = 4  # a piece of work that lost its worker five times is given up


@dataclass
class Tally:
    """Where kills fell, and what was ever found torn."""

    kills: int = 0
    after_the_end: int = 0
    fell: Counter[str] = field(default_factory=Counter)
    torn: list[str] = field(default_factory=list)


@dataclass
class Worker:
    """One process that does one piece of work, unless it is killed before."""

    walked: Walk
    database: Database

    def __post_init__(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", WORKER, str(self.walked.cast.northside.pk)],
            cwd=ROOT,
            env=os.environ
            | self.database.environment()
            | {
                "DJANGO_SETTINGS_MODULE": "firm.settings",
                "FIRM_VAR_DIR": str(Path(settings.FIRM_UPLOAD_DIR).parent),
            },
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self.process.stdout
        if self.process.stdout.readline() != "ready\n":
            raise RuntimeError("the worker did not come up")

    def kill_after(self, seconds: float) -> bool:
        """Let it work for so long, then kill it; say whether it was still at it."""
        try:
            self.process.wait(timeout=seconds)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
            return True
        return False


def main() -> int:
    reader = argparse.ArgumentParser(prog="python -m tests.drills.kills")
    reader.add_argument("--kills", type=int, default=50)
    reader.add_argument(
        "--seed", type=int, default=random.SystemRandom().randrange(10**6)
    )
    asked = reader.parse_args()
    print(f"seed {asked.seed}, software {settings.FIRM_VERSION}")
    begun, tally = time.monotonic(), Tally()
    with Database() as database:
        issues = _drill(asked.kills, random.Random(asked.seed), database, tally)
    for where, often in sorted(tally.fell.items()):
        print(f"  {often:4} {where}")
    for one in tally.torn:
        print(f"  TORN {one}")
    print(
        f"{tally.kills} kills of the worker over {issues} issues in"
        f" {time.monotonic() - begun:.0f} s: {len(tally.torn)} half releases or doubles"
    )
    return 0 if not tally.torn and tally.kills >= asked.kills else 1


def _drill(kills: int, chance: random.Random, database: Database, tally: Tally) -> int:
    Installation.objects.get_or_create()
    jobs.ring = lambda _firm, _queue: None  # nobody but our workers works here
    cast = make_committed_cast()
    with bound(cast.northside.pk):
        walked = signed(cast)
        freeze(walked)
    connections.close_all()
    took = time.monotonic()
    Worker(walked, database).process.wait()
    took = time.monotonic() - took
    issues = 1
    while tally.kills < kills:
        with bound(cast.northside.pk):
            freeze(walked, f"{BECAUSE} ({issues})")
        issues += 1
        left = min(chance.randrange(1, KILLS_EACH + 1), kills - tally.kills)
        _one_issue(walked, database, chance, tally, (left, took))
    return issues


def _one_issue(
    walked: Walk,
    database: Database,
    chance: random.Random,
    tally: Tally,
    plan: tuple[int, float],
) -> None:
    left, took = plan
    for _ in range(left):
        # Half of them anywhere, half near the end, where the release is shown.
        share = chance.choice((chance.random(), 0.6 + chance.random() * 0.45))
        if Worker(walked, database).kill_after(share * took):
            tally.kills += 1
            tally.fell[_stands(walked)] += 1
        else:
            tally.after_the_end += 1
        _look(walked, tally, done=False)
        _lease_runs_out(walked)
    Worker(walked, database).process.wait()
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
