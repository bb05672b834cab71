"""RE-02: the process is gone at each step of a release; old or new is left, never half.

A forked process does the real work on the real database and store, and ends with
os._exit at one point: nothing is tidied up, no transaction is closed.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

import pytest
from django.db import connections, transaction
from django.utils import timezone

from firm import audit, chain, jobs, storage
from firm.models import Installation, Job
from firm.tenancy import bound
from inspections.services import visits
from reports.models import Release
from reports.rendering import child
from reports.services import releases, seals
from tests.drills.whole import torn
from tests.support.cast import make_cast
from tests.support.released import freeze, signed
from tests.support.walked import Walk

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]
GONE = 9

# Where the process ends: a function of a module, before or after which call of it.
FREEZING = [
    (releases, "build", "before", 1),
    (releases, "build", "after", 1),
    (releases, "case_file", "after", 1),
    (chain, "add", "after", 1),
    (releases, "_into_chain", "after", 1),
    (jobs, "enqueue", "after", 1),
    (audit, "record", "after", 1),
    (releases, "release", "after", 1),
]
MAKING = [
    (releases, "_assets", "after", 1),
    (storage, "put", "before", 1),
    (storage, "put", "after", 1),
    (releases, "_store", "after", 1),
    (storage, "put", "after", 2),
    (child, "render", "after", 1),
    (seals, "put_on", "after", 1),
    (storage, "put", "after", 3),
    (releases, "_show", "before", 1),
    (visits, "move_on", "after", 1),
    (releases, "_announce", "after", 1),
    (releases, "_show", "after", 1),
    (releases, "make_artefacts", "after", 1),
]


@pytest.fixture
def ready(transactional_db: None, monkeypatch: pytest.MonkeyPatch) -> Walk:
    Installation.objects.get_or_create()
    monkeypatch.setattr(jobs, "ring", lambda _firm, _queue: None)
    with transaction.atomic():
        return signed(make_cast())


def gone_at(point: tuple[Any, str, str, int], act: Callable[[], Any]) -> bool:
    """Do it in a fork that ends at the point; say whether it got there."""
    module, name, when, times = point
    connections.close_all()
    pid = os.fork()
    if pid:
        return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == GONE
    real, calls = getattr(module, name), [0]

    def ending(*args: Any, **kwargs: Any) -> Any:
        calls[0] += 1
        if when == "before" and calls[0] == times:
            os._exit(GONE)
        answer = real(*args, **kwargs)
        if when == "after" and calls[0] == times:
            os._exit(GONE)
        return answer

    try:
        setattr(module, name, ending)
        act()
    finally:
        os._exit(0)


def inside(walked: Walk) -> Any:
    return bound(walked.cast.northside.pk)


def run_work(walked: Walk) -> None:
    jobs.run_next(firm_id=str(walked.cast.northside.pk), queue="reports")


def ask(walked: Walk) -> None:
    with inside(walked):
        freeze(walked, "A word." if Release.objects.exists() else "")


def look(walked: Walk, *, done: bool) -> int:
    """Assert that nothing is half; return how many issues there are."""
    with inside(walked):
        assert torn(walked.cast.reviewer.actor, walked.visit, done=done) == []
        return Release.objects.count()


def finish(walked: Walk) -> None:
    """The next worker comes, as soon as the lost one's lease is over."""
    with inside(walked):
        Job.objects.filter(state=Job.State.RUNNING).update(lease_until=timezone.now())
    run_work(walked)


@pytest.mark.timeout(400)
def test_re_02_gone_while_freezing_leaves_the_old_state(ready: Walk) -> None:
    """RE-02: all of it is one transaction, up to its very end."""
    for point in FREEZING[:-1]:
        assert gone_at(point, lambda: ask(ready)), point
        assert look(ready, done=False) == 0, point
    assert gone_at(FREEZING[-1], lambda: ask(ready))
    assert look(ready, done=False) == 0
    ask(ready)
    finish(ready)
    assert look(ready, done=True) == 1


@pytest.mark.timeout(600)
def test_re_02_gone_while_making_leaves_old_or_new(ready: Walk) -> None:
    """RE-02: between every two steps of the work; the retry ends with one release."""
    for number, point in enumerate(MAKING, 1):
        ask(ready)
        assert gone_at(point, lambda: run_work(ready)), point
        assert look(ready, done=False) == number, point
        finish(ready)
        assert look(ready, done=True) == number, point
