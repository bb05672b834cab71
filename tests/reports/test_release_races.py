"""RE-04, EV-06: two at the same moment: one wins, and the chain has no gap."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from threading import Barrier, Thread
from typing import Any

import pytest
from django.db import connection, transaction

from findings.models import Finding
from findings.services import review, words
from findings.wording.words import Words
from firm import jobs
from firm.errors import Refusal
from firm.models import AuditEntry, Installation
from firm.tenancy import bound
from reports.models import Release, ReleaseEntry
from reports.services import releases
from reports.services.evidence import walk as evidence
from tests.support.cast import make_cast
from tests.support.released import freeze, signed
from tests.support.reviewed import by_hand, handed_in
from tests.support.visits import STARTS
from tests.support.walked import FULL, NOW, Walk

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]


def at_once(*acts: Callable[[], Any]) -> list[Any]:
    """Let each act begin at the same moment; return answers, or what was raised."""
    barrier = Barrier(len(acts))
    answers: list[Any] = [None] * len(acts)

    def run(place: int, act: Callable[[], Any]) -> None:
        try:
            barrier.wait()
            answers[place] = act()
        except Refusal as refusal:
            answers[place] = refusal
        finally:
            connection.close()

    threads = [Thread(target=run, args=pair) for pair in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    return answers


def assert_one_won(answers: list[Any]) -> None:
    lost = [one for one in answers if isinstance(one, Refusal)]
    assert len(lost) == len(answers) - 1, answers
    assert all(one.status == 409 for one in lost), lost


@pytest.fixture
def walked(transactional_db: None) -> Walk:
    Installation.objects.get_or_create()
    with transaction.atomic():
        return handed_in(make_cast())


def rounds(
    walked: Walk,
    count: int,
    act: Callable[[Any, Finding, int], None],
    event: str,
    state: str,
) -> None:
    """Two reviewers do the same to one finding, again and again."""
    cast = walked.cast
    with bound(cast.northside.pk):
        one = by_hand(walked)
        before = AuditEntry.objects.filter(event=event).count()
    for number in range(count):
        with bound(cast.northside.pk):
            Finding.objects.filter(pk=one.pk).update(state=state)
            row = Finding.objects.select_related("visit", "words").get(pk=one.pk)

        def doing(person: Any, row: Finding = row, number: int = number) -> Any:
            def do() -> None:
                with bound(cast.northside.pk):
                    act(person.actor, row, number)

            return do

        assert_one_won(at_once(doing(cast.reviewer), doing(cast.owner)))
    with bound(cast.northside.pk):
        after = AuditEntry.objects.filter(event=event)
        assert after.count() == before + count
        assert set(after.values_list("who", flat=True)) <= {
            "Rae Reviewer",
            "Olive Owner",
        }
        assert list(evidence.faults(cast.owner.actor)) == []


@pytest.mark.timeout(300)
def test_re_04_of_two_approvals_one_counts(walked: Walk) -> None:
    """RE-04: 60 rounds of passing the same words."""
    with bound(walked.cast.northside.pk):
        one = by_hand(walked)
        new = words.Rewording(FULL, one.version)
        words.rewrite(actor=walked.cast.reviewer.actor, finding=one, new=new)

    def approve(actor: Any, row: Finding, _number: int) -> None:
        review.check_words(actor=actor, finding=row, version=row.version)

    rounds(walked, 60, approve, "words.checked", "IN_REVIEW")


@pytest.mark.timeout(300)
def test_re_04_of_two_returns_one_counts(walked: Walk) -> None:
    """RE-04: 60 rounds of sending the same finding back."""

    def send_back(actor: Any, row: Finding, number: int) -> None:
        review.send_back(actor=actor, finding=row, note=f"Look again, {number}.")

    rounds(walked, 60, send_back, "finding.returned", "IN_REVIEW")


@pytest.mark.timeout(300)
def test_re_04_of_two_edits_one_stands(walked: Walk) -> None:
    """RE-04: 60 rounds of rewording from the same version."""

    def edit(actor: Any, row: Finding, number: int) -> None:
        said = f"It rubs at the top, {actor.name} wrote in round {number}."
        new = words.Rewording(
            Words(said, FULL.matters, FULL.action, FULL.when), row.version
        )
        words.rewrite(actor=actor, finding=row, new=new)

    rounds(walked, 60, edit, "words.changed", "IN_REVIEW")


@pytest.mark.timeout(500)
def test_re_04_of_two_releases_one_is_made(
    transactional_db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """RE-04: 20 rounds of releasing the same issue; and it is made only once."""
    Installation.objects.get_or_create()
    monkeypatch.setattr(jobs, "ring", lambda _firm, _queue: None)
    with transaction.atomic():
        walked = signed(make_cast())
    cast = walked.cast
    for number in range(20):
        reason = f"Correction {number}." if number else ""

        def ask(person: Any, reason: str = reason) -> Callable[[], Any]:
            def do() -> Any:
                correction = releases.Correction(reason, "FIRM") if reason else None
                with bound(cast.northside.pk):
                    return releases.release(
                        actor=person.actor,
                        visit=walked.visit,
                        now=NOW,
                        correction=correction,
                    )

            return do

        assert_one_won(at_once(ask(cast.reviewer), ask(cast.owner)))
        with bound(cast.northside.pk):
            assert Release.objects.count() == number + 1
        jobs.run_next(firm_id=str(cast.northside.pk), queue="reports")
    with bound(cast.northside.pk):
        assert AuditEntry.objects.filter(event="release.frozen").count() == 20
        assert AuditEntry.objects.filter(event="release.shown").count() == 20
        assert list(evidence.faults(cast.owner.actor)) == []


@pytest.mark.timeout(500)
def test_ev_06_ten_releases_at_once_leave_no_gap_and_no_repeat(
    transactional_db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """EV-06: ten threads of one firm, each with a report of its own."""
    Installation.objects.get_or_create()
    monkeypatch.setattr(jobs, "ring", lambda _firm, _queue: None)
    with transaction.atomic():
        cast = make_cast()
        visits = [
            signed(
                cast,
                number=f"R-2026-1{number:03}",
                starts=STARTS - timedelta(hours=4 * number),
            )
            for number in range(10)
        ]

    def ask(one: Walk) -> Callable[[], Any]:
        def do() -> Any:
            with bound(cast.northside.pk):
                return freeze(one).pk

        return do

    made = at_once(*[ask(one) for one in visits])

    assert len(set(made)) == 10
    with bound(cast.northside.pk):
        seqs = ReleaseEntry.objects.order_by("seq").values_list("seq", flat=True)
        assert list(seqs) == list(range(1, 11))
        assert list(evidence.faults(cast.owner.actor)) == []
