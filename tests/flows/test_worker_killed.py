"""A worker killed in the middle of a render: the next one ends with one release."""

import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connections, transaction

from firm import env, jobs, storage
from firm.embedded import stack
from firm.embedded.places import ROOT
from firm.embedded.supervise import Supervisor
from firm.models import Installation, Job
from firm.tenancy import bound
from reports.models import Artefact, Release, ReleaseEntry
from reports.services import releases
from tests.support.cast import make_cast
from tests.support.walked import NOW, Walk, walk

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]


def nothing_rings(_firm_id: str, _queue: str) -> None:
    """The broker lost the ring: the workers have to find the job by themselves."""


@pytest.fixture
def frozen(transactional_db: None, monkeypatch: pytest.MonkeyPatch) -> Walk:
    """A signed visit whose release is asked for, and no worker yet."""
    Installation.objects.get_or_create()
    with transaction.atomic():
        walked = walk(make_cast())
        walked.clients("Dana Whitlow")
        walked.picture("ph-13", stop="s-svc", about="sp-13", use="shows_it")
        walked.decide("use")
        walked.finish()
    monkeypatch.setattr(jobs, "ring", nothing_rings)
    reviewer = walked.cast.reviewer.actor
    with bound(reviewer.firm.pk):
        releases.release(actor=reviewer, visit=walked.visit, now=NOW)
    return walked


@pytest.fixture
def workers(tmp_path: Path) -> Iterator[Supervisor]:
    """Real processes on the test database, its files, and a broker to themselves."""
    held = connections["default"].settings_dict
    address = (
        f"postgresql://{held['USER']}:{held['PASSWORD']}@{held['HOST']}:{held['PORT']}"
        f"/{held['NAME']}"
    )
    environment = {
        **env.all_of(),
        "DJANGO_SETTINGS_MODULE": "firm.settings",
        "DATABASE_URL": address,
        "REDIS_URL": settings.REDIS_URL.rsplit("/", 1)[0] + "/15",
        "FIRM_VAR_DIR": str(Path(settings.FIRM_UPLOAD_DIR).parent),
    }
    with Supervisor(logs=tmp_path, environment=environment, root=ROOT) as kept:
        yield kept


def release_of(walked: Walk) -> Release:
    return Release.objects.defer("snapshot", "case_file").get(visit=walked.visit)


def wait_for(walked: Walk, seconds: float, seen: Callable[[], bool]) -> float:
    begun = time.monotonic()
    while time.monotonic() - begun < seconds:
        with bound(walked.cast.northside.pk):
            if seen():
                return time.monotonic() - begun
        time.sleep(0.02)
    raise AssertionError(f"not seen within {seconds} s")


def under_way() -> bool:
    return Job.objects.filter(
        task=releases.TASK, state=Job.State.RUNNING, progress__contains="PDF"
    ).exists()


def done() -> bool:
    return Job.objects.filter(task=releases.TASK, state=Job.State.DONE).exists()


@pytest.mark.timeout(240)
def test_a_killed_worker_leaves_one_whole_release(
    frozen: Walk, workers: Supervisor
) -> None:
    workers.start(stack.worker(jobs.QUEUES, "first"))
    wait_for(frozen, 60, under_way)
    workers.stop("first", at_once=True)
    with bound(frozen.cast.northside.pk):
        assert release_of(frozen).state == Release.State.RELEASING

    workers.start(stack.worker(jobs.QUEUES, "second"))
    workers.start(stack.clock())
    took = wait_for(
        frozen, 120, lambda: release_of(frozen).state == Release.State.RELEASED
    )

    assert took < 120
    wait_for(frozen, 60, done)  # a job ends after what it was for
    with bound(frozen.cast.northside.pk):
        assert_whole(release_of(frozen))


def assert_whole(release: Release) -> None:
    made = list(Artefact.objects.filter(release=release).values("kind", "sha256"))
    assert sorted(row["kind"] for row in made) == ["gallery", "pdf", "web"]
    assert ReleaseEntry.objects.count() == 1
    assert Job.objects.get(task=releases.TASK).state == Job.State.DONE
    for row in made:
        key = f"firm/{release.firm_id}/artefact/{row['sha256']}"
        assert storage.sha256(storage.get(key)) == row["sha256"]
