"""The Celery application: queues, and what runs by the clock."""

import os
from typing import Any

from celery import Celery
from celery.schedules import crontab
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
    "mail-anchors": {
        "task": "reports.mail_anchors",
        "schedule": crontab(hour="11", minute="10"),
        "options": {"queue": "other"},
    },
}


@worker_ready.connect
def sweep_at_start(**_: Any) -> None:
    """Sweep when a worker starts: after a crash it need not wait for the clock."""
    app.tasks["firm.sweep_jobs"].delay()
