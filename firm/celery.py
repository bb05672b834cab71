"""The Celery application: queues, and what runs by the clock."""

import os
from typing import Any

from celery import Celery
from celery.signals import worker_ready

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "firm.settings")

app = Celery("kingpost")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
app.conf.beat_schedule = {
    "sweep-jobs": {
        "task": "firm.sweep_jobs",
        "schedule": 10.0,
        "options": {"queue": "other", "expires": 10.0},
    },
}


@worker_ready.connect
def sweep_at_start(**_: Any) -> None:
    """Sweep when a worker starts: after a crash it need not wait for the clock."""
    app.tasks["firm.sweep_jobs"].delay()
