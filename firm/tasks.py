"""What Celery may call here: run one job, sweep for lost ones."""

from typing import Any

from celery import shared_task

from firm import jobs


@shared_task(name="firm.run_next_job", ignore_result=True)
def run_next_job(*, firm_id: str, queue: str, **_later: Any) -> None:
    if jobs.run_next(firm_id=firm_id, queue=queue):
        # One job per ring, so that a busy firm does not hold the worker.
        jobs.ring(firm_id, queue)


@shared_task(name="firm.sweep_jobs", ignore_result=True)
def sweep_jobs(**_later: Any) -> None:
    jobs.sweep()
