"""A committed cast, for tests of threads and of real HTTP."""

from typing import Any

import pytest

from firm import jobs
from firm.models import Installation
from firm.tenancy import bound
from inspections.models import Visit
from tests.support.cast import Cast, make_cast
from tests.support.visits import make_visit


@pytest.fixture
def committed(transactional_db: None) -> Cast:
    """The cast as committed rows, with the row that emptying the tables takes along."""
    from django.db import transaction

    Installation.objects.get_or_create()
    with transaction.atomic():
        return make_cast()


@pytest.fixture
def committed_visit(committed: Cast) -> Visit:
    with bound(committed.northside.pk):
        return make_visit(committed.ines)


@pytest.fixture
def asked_for(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The photos whose copies were asked for; making them is tested elsewhere."""
    photos: list[str] = []

    def note(*, photo_id: str, **_: Any) -> None:
        photos.append(photo_id)

    work = jobs.Work("findings.make_renditions", "photos", note)
    monkeypatch.setitem(jobs.REGISTRY, work.name, work)
    return photos
