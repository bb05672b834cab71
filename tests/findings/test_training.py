"""What a trainee recorded, as the office reads it and the inspector stands for it."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from findings.models import Finding
from inspections.selectors.folded import folded
from inspections.services import companions
from tests.support.cast import Cast
from tests.support.walked import Walk, walk

pytestmark = pytest.mark.django_db

WHOSE = "Recorded by Tova Trainee, in training, beside Ines Field."
LINE = {"kind": "hand_finding", "stop": "s-svc", "system": "electrical"}


@pytest.fixture
def walked(cast: Cast) -> Walk:
    """A walk on which the trainee wrote one finding and read one space."""
    made = walk(cast)
    companions.name(
        actor=cast.scheduler.actor,
        visit=made.visit,
        member_id=cast.trainee.member.pk,
    )
    made.record(cast.trainee, theirs={**LINE, "line": "The cover hums when touched."})
    made.record(hers={**LINE, "line": "The label of the main is faded."})
    return made


def read(walked: Walk, name: str, *args: Any, who: str = "reviewer") -> str:
    address = reverse(name, args=["northside", *args])
    answer = getattr(walked.cast, who).client().get(address)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def test_a_trainees_finding_says_so_in_the_review(walked: Walk) -> None:
    walked.decide("use")
    walked.hand_in()
    theirs = Finding.objects.get(source_key=f"hand:{walked.id('theirs')}")
    hers = Finding.objects.get(source_key=f"hand:{walked.id('hers')}")

    page = read(walked, "review-read", walked.visit.pk)

    assert page.count(WHOSE) == 1
    assert WHOSE in read(walked, "finding-read", theirs.pk)
    assert WHOSE not in read(walked, "finding-read", hers.pk)


def test_what_rests_on_a_trainees_reading_says_so_too(cast: Cast) -> None:
    made = walk(cast)
    companions.name(
        actor=cast.scheduler.actor, visit=made.visit, member_id=cast.trainee.member.pk
    )
    space = {"kind": "space", "enclosure": "e-main", "number": 15, "poles": 1}
    space |= {"space_kind": "breaker", "amps": 30, "size": "14", "how": "read"}
    space |= {"material": "copper", "load": "general", "state": "on"}
    made.record(cast.trainee, **{"sp-15": {**space, "label": "Den"}})
    made.decide("use")
    made.hand_in()

    page = read(made, "review-read", made.visit.pk)

    assert WHOSE in page


def test_the_inspector_stands_for_a_stop(walked: Walk) -> None:
    before = read(walked, "review-read", walked.visit.pk)
    assert "Recorded in training" in before
    assert "not stood for by Ines Field yet" in before

    walked.record(**{"s-svc": {"attested_at": "2026-11-24T15:10:00Z"}})

    after = read(walked, "review-read", walked.visit.pk)
    assert "Ines Field was there, Tue 24 November 2026, 10:10 am" in after
    assert "not stood for" not in after


def test_a_visit_without_a_trainee_says_nothing_of_it(cast: Cast) -> None:
    made = walk(cast)

    assert "in training" not in read(made, "review-read", made.visit.pk)


def test_the_plain_page_does_not_close_a_stop_for_a_trainee(walked: Walk) -> None:
    stop = walked.id("s-svc")
    address = reverse("stop-close", args=["northside", walked.visit.pk, stop])
    before = folded(walked.cast.ines.actor, walked.visit)[0][stop]
    said = {"version": str(walked.visit.version), "reason": "All of it was seen."}

    answer = walked.cast.trainee.client().post(address, said)

    assert answer.status_code == 400
    assert "the inspector does this, not a trainee" in answer.content.decode()
    assert folded(walked.cast.ines.actor, walked.visit)[0][stop] == before
