"""Background work: claimed once, leased, retried, never lost, never silent."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.test import override_settings
from django.utils import timezone

from firm import jobs
from firm.actor import Actor
from firm.models import Job
from firm.tenancy import bound
from tests.support.cast import Cast

pytestmark = pytest.mark.django_db

CALLS: list[dict[str, Any]] = []


@pytest.fixture(autouse=True)
def kinds_of_work() -> Iterator[None]:
    CALLS.clear()

    def note(*, actor: Actor, **args: Any) -> None:
        CALLS.append(args)

    def stumble(**_: Any) -> None:
        raise RuntimeError("the disk is full")

    def hopeless(**_: Any) -> None:
        raise jobs.GiveUp("This picture cannot be read.")

    for name, handler in {
        "note": note,
        "stumble": stumble,
        "give_up": hopeless,
    }.items():
        jobs.work(f"firm.{name}", queue="other")(handler)
    yield
    for name in ("note", "stumble", "give_up"):
        del jobs.REGISTRY[f"firm.{name}"]


def ask(cast: Cast, name: str, key: str = "1") -> Job:
    return jobs.enqueue(actor=cast.owner.actor, task=f"firm.{name}", key=key, n=key)


def run(cast: Cast) -> bool:
    return jobs.run_next(firm_id=str(cast.northside.pk), queue="other")


def again(cast: Cast, job: Job) -> Job:
    with cast.inside():
        return Job.objects.get(pk=job.pk)


def test_asking_twice_for_one_key_makes_one_job(cast: Cast) -> None:
    assert ask(cast, "note").pk == ask(cast, "note").pk

    run(cast)
    assert [call["n"] for call in CALLS] == ["1"]


def test_an_unknown_name_is_refused_at_once(cast: Cast) -> None:
    with pytest.raises(KeyError):
        ask(cast, "nobody_registered_this")


def test_a_done_job_is_not_run_again(cast: Cast) -> None:
    job = ask(cast, "note")

    assert run(cast) is True
    assert run(cast) is False
    assert again(cast, job).state == Job.State.DONE


@override_settings(FIRM_JOBS_RAISE=False)
def test_a_failure_waits_and_ends_visible_after_five_tries(cast: Cast) -> None:
    job = ask(cast, "stumble")

    for attempt in range(1, jobs.TRIES + 1):
        with cast.inside():
            Job.objects.filter(pk=job.pk).update(due_at=timezone.now())
        assert run(cast) is True
        assert again(cast, job).attempts == attempt

    job = again(cast, job)
    assert job.state == Job.State.FAILED
    assert "the disk is full" in job.last_error


@override_settings(FIRM_JOBS_RAISE=False)
def test_work_that_no_retry_can_mend_ends_at_once(cast: Cast) -> None:
    job = ask(cast, "give_up")

    run(cast)
    job = again(cast, job)
    assert (job.state, job.last_error) == (
        Job.State.FAILED,
        "This picture cannot be read.",
    )


def test_asking_again_takes_up_a_failed_job(cast: Cast) -> None:
    job = ask(cast, "note")
    Job.objects.filter(pk=job.pk).update(state=Job.State.FAILED, attempts=5)

    ask(cast, "note")
    run(cast)
    assert again(cast, job).state == Job.State.DONE


def test_a_lost_workers_job_is_claimed_when_its_lease_ran_out(cast: Cast) -> None:
    job = ask(cast, "note")
    Job.objects.filter(pk=job.pk).update(
        state=Job.State.RUNNING,
        lease_until=timezone.now() + timedelta(seconds=5),
        attempts=1,
    )
    assert run(cast) is False

    Job.objects.filter(pk=job.pk).update(
        lease_until=timezone.now() - timedelta(seconds=1)
    )
    assert run(cast) is True
    assert again(cast, job).state == Job.State.DONE


def test_a_job_that_kills_its_worker_every_time_ends_visible(cast: Cast) -> None:
    job = ask(cast, "note")
    Job.objects.filter(pk=job.pk).update(
        state=Job.State.RUNNING,
        attempts=jobs.TRIES,
        lease_until=timezone.now() - timedelta(seconds=1),
    )

    assert run(cast) is False
    assert again(cast, job).state == Job.State.FAILED
    assert not CALLS


def test_a_worker_that_lost_its_lease_does_not_write_the_outcome(cast: Cast) -> None:
    job = ask(cast, "note")
    claimed = jobs._claim(str(cast.northside.pk), "other")
    assert claimed is not None
    with cast.inside():
        Job.objects.filter(pk=job.pk).update(lease=cast.northside.pk)

    jobs._finish(str(cast.northside.pk), claimed, None)
    assert again(cast, job).state == Job.State.RUNNING


def test_the_sweeper_rings_for_what_is_due(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    ask(cast, "note")
    rung: list[tuple[str, str]] = []
    monkeypatch.setattr(jobs, "ring", lambda firm, queue: rung.append((firm, queue)))

    assert jobs.sweep() == 1
    assert rung == [(str(cast.northside.pk), "other")]


def test_one_firms_worker_never_takes_anothers_job(cast: Cast) -> None:
    with bound(cast.elsewhere.pk):
        jobs.enqueue(actor=cast.stranger.actor, task="firm.note", key="x", n="x")

    assert run(cast) is False
