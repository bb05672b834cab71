"""Background work: rows claimed under a lease; the broker only rings the bell.

A Job row is written in the transaction that asks for it. A worker claims a row
with SKIP LOCKED, holds a lease that it renews, and writes the outcome only while the
lease is still its own. A sweeper rings again for what came due or lost its worker,
so a broker that loses everything costs seconds, never work.
"""

from __future__ import annotations

import logging
import random
import threading
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

from django.conf import settings
from django.db import connection, transaction
from django.db.models import Q
from django.utils import timezone

from firm.actor import Actor
from firm.models import Firm, Job
from firm.tenancy import bound

logger = logging.getLogger(__name__)

LEASE: Final = timedelta(seconds=30)
RENEW_EVERY: Final = 8.0
TRIES: Final = 5
QUEUES: Final = ("photos", "reports", "other")

Handler = Callable[..., None]


class GiveUp(Exception):
    """Raised by work that no retry can mend; the message is shown to the firm."""


@dataclass(frozen=True, slots=True)
class Work:
    """A kind of background work: what runs it, and on which queue."""

    name: str
    queue: str
    run: Handler


REGISTRY: dict[str, Work] = {}


def work(name: str, *, queue: str) -> Callable[[Handler], Handler]:
    """Register a function as background work under `<app>.<verb_noun>`."""

    def register(handler: Handler) -> Handler:
        if queue not in QUEUES:
            raise ValueError(f"{name}: no queue named {queue!r}")
        REGISTRY[name] = Work(name, queue, handler)
        return handler

    return register


def enqueue(*, actor: Actor, task: str, key: str, **args: Any) -> Job:
    """Write a job in this transaction; asking twice for one key makes one job.

    A key that had failed is taken up again. A name nobody registered raises KeyError.
    """
    kind = REGISTRY[task]
    job, made = Job.objects.get_or_create(
        firm=actor.firm,
        task=task,
        key=key,
        defaults={"args": args, "due_at": timezone.now()},
    )
    if not made and job.state == Job.State.FAILED:
        job.state, job.attempts, job.last_error = Job.State.QUEUED, 0, ""
        job.due_at = timezone.now()
        job.save(update_fields=["state", "attempts", "last_error", "due_at"])
    firm_id = str(actor.firm.pk)
    transaction.on_commit(lambda: ring(firm_id, kind.queue))
    return job


def ring(firm_id: str, queue: str) -> None:
    """Tell the workers that something may be due; losing this is harmless."""
    # Imported here: celery.py configures itself from settings, which load first.
    from firm.celery import app  # noqa: PLC0415

    try:
        app.send_task(
            "firm.run_next_job",
            kwargs={"firm_id": firm_id, "queue": queue},
            queue=queue,
            ignore_result=True,
            retry=False,
        ) if not app.conf.task_always_eager else app.tasks["firm.run_next_job"].apply(
            kwargs={"firm_id": firm_id, "queue": queue}, throw=True
        )
    except OSError:
        logger.warning("the broker does not answer; the sweeper will ring again")


def run_next(*, firm_id: str, queue: str) -> bool:
    """Claim and run one job of a firm; say whether there was one."""
    job = _claim(firm_id, queue)
    if job is None:
        return False
    with _kept_alive(firm_id, job):
        error = _run(firm_id, job)
    _finish(firm_id, job, error)
    return True


def sweep(now: datetime | None = None) -> int:
    """Ring for every firm that has work due or work whose lease ran out."""
    rung = 0
    for firm in Firm.objects.only("pk"):
        with bound(firm.pk):
            due = set(_due(now or timezone.now()).values_list("task", flat=True))
        for queue in sorted({REGISTRY[task].queue for task in due if task in REGISTRY}):
            ring(str(firm.pk), queue)
            rung += 1
    return rung


def report_progress(*, actor: Actor, job_id: uuid.UUID, text: str) -> None:
    with bound(actor.firm.pk):
        Job.objects.filter(pk=job_id).update(progress=text)


def _due(now: datetime) -> Any:
    waiting = Q(state=Job.State.QUEUED, due_at__lte=now)
    orphaned = Q(state=Job.State.RUNNING, lease_until__lt=now)
    return Job.objects.filter(waiting | orphaned)


def _claim(firm_id: str, queue: str) -> Job | None:
    names = [kind.name for kind in REGISTRY.values() if kind.queue == queue]
    with bound(firm_id):
        now = timezone.now()
        job: Job | None = (
            _due(now)
            .filter(task__in=names)
            .select_for_update(skip_locked=True)
            .order_by("due_at")
            .first()
        )
        if job is None:
            return None
        job.attempts += 1
        if job.attempts > TRIES:
            # Its worker died each time: a poison job must not take more with it.
            job.state, job.finished_at = Job.State.FAILED, now
            job.last_error = "The worker stopped in the middle of this, five times."
            job.save()
            return None
        job.state, job.lease = Job.State.RUNNING, uuid.uuid4()
        job.lease_until = now + LEASE
        job.save(update_fields=["state", "lease", "lease_until", "attempts"])
    return job


def _run(firm_id: str, job: Job) -> str | None:
    """Run the work; None when it went well, else what to show."""
    actor = Actor.system(Firm.objects.get(pk=firm_id))
    try:
        REGISTRY[job.task].run(actor=actor, job_id=job.pk, **job.args)
    except GiveUp as stop:
        job.attempts = TRIES
        return str(stop)
    except (KeyboardInterrupt, SystemExit):
        raise
    # Some libraries raise errors that derive from BaseException; a job must end
    # visible whatever it met.
    except BaseException as error:
        logger.exception("job %s (%s) failed", job.pk, job.task)
        if getattr(settings, "FIRM_JOBS_RAISE", False):
            raise
        return f"{type(error).__name__}: {error}"[:2000]
    return None


def _finish(firm_id: str, job: Job, error: str | None) -> None:
    with bound(firm_id):
        now = timezone.now()
        mine = Job.objects.filter(pk=job.pk, lease=job.lease, state=Job.State.RUNNING)
        if error is None:
            mine.update(state=Job.State.DONE, finished_at=now, last_error="")
        elif job.attempts >= TRIES:
            mine.update(state=Job.State.FAILED, finished_at=now, last_error=error)
        else:
            wait = timedelta(seconds=2**job.attempts * random.uniform(0.5, 1.5))  # noqa: S311
            mine.update(state=Job.State.QUEUED, due_at=now + wait, last_error=error)


class _kept_alive:  # noqa: N801
    """Renew the job's lease from a thread of its own while the work runs."""

    def __init__(self, firm_id: str, job: Job) -> None:
        self.firm_id, self.job = firm_id, job
        self.done = threading.Event()
        self.thread = threading.Thread(target=self._renew, daemon=True)

    def __enter__(self) -> None:
        if getattr(settings, "FIRM_JOB_LEASES_RENEWED", True):
            self.thread.start()

    def __exit__(self, *_: object) -> None:
        self.done.set()
        if self.thread.is_alive():
            self.thread.join(timeout=10)

    def _renew(self) -> None:
        try:
            while not self.done.wait(RENEW_EVERY):
                with bound(self.firm_id):
                    Job.objects.filter(pk=self.job.pk, lease=self.job.lease).update(
                        lease_until=timezone.now() + LEASE
                    )
        finally:
            connection.close()
