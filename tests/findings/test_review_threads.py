"""Two people at once: exactly one wins, the other is told and sees the difference."""

from __future__ import annotations

from collections.abc import Callable
from threading import Barrier, Thread
from typing import Any

import pytest
from django.db import connection

from findings.models import Finding, Revision, SignOff
from findings.selectors.objections import words_of
from firm.tenancy import bound
from tests.support.cast import Cast, make_cast
from tests.support.reviewed import at, by_hand, handed_in, whole, words_form
from tests.support.walked import Walk

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]


@pytest.fixture
def walked(transactional_db: None) -> Walk:
    """A visit in review that is committed, so that threads see it."""
    cast: Cast = make_cast()
    with bound(cast.northside.pk):
        return handed_in(cast)


def at_once(*acts: Callable[[], Any]) -> list[Any]:
    """Let each act begin at the same moment, on a connection of its own."""
    barrier, answers = Barrier(len(acts)), [None] * len(acts)

    def run(place: int, act: Callable[[], Any]) -> None:
        try:
            barrier.wait()
            answers[place] = act()
        finally:
            connection.close()

    threads = [Thread(target=run, args=pair) for pair in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    return answers


def inside(walked: Walk) -> Any:
    return bound(walked.cast.northside.pk)


def poster(person: Any, address: str, form: dict[str, str]) -> Callable[[], Any]:
    client = person.client()
    return lambda: client.post(address, form)


def test_of_two_rewordings_one_wins_and_the_other_sees_it(walked: Walk) -> None:
    cast = walked.cast
    with inside(walked):
        one = by_hand(walked)
        address = at("finding-words", one)
        hers = words_form(one, seen="Hers: it rubs at the top.")
        his = words_form(one, seen="His: it rubs at the side.")
        acts = [poster(cast.reviewer, address, hers), poster(cast.owner, address, his)]

    answers = at_once(*acts)

    assert sorted(answer.status_code for answer in answers) == [302, 409]
    with inside(walked):
        assert Revision.objects.filter(finding=one).count() == 2
        one = Finding.objects.select_related("words").get(pk=one.pk)
        stands = words_of(one).seen
    lost = next(answer for answer in answers if answer.status_code == 409)
    said = lost.content.decode()
    assert stands in said
    assert "Hers: it rubs" in said
    assert "His: it rubs" in said


def test_passing_words_and_changing_them_at_once(walked: Walk) -> None:
    cast = walked.cast
    with inside(walked):
        one = by_hand(walked)
        address = at("finding-words", one)
        cast.reviewer.client().post(address, words_form(one, **whole()))
        other = words_form(one, **{**whole(), "seen": "The inspector saw more there."})
        version = {"version": other["version"]}
        acts = [
            poster(cast.reviewer, at("finding-check", one), version),
            poster(cast.ines, address, other),
        ]

    passed, changed = at_once(*acts)

    # The inspector's words always stand: passing does not move the version. What was
    # passed before them is read again; what came after them is refused.
    assert changed.status_code == 302
    assert passed.status_code in (302, 409)
    with inside(walked):
        one = Finding.objects.select_related("words").get(pk=one.pk)
        assert words_of(one).seen == "The inspector saw more there."
        assert one.state == "IN_REVIEW"


def test_signing_and_changing_words_at_once(walked: Walk) -> None:
    cast = walked.cast
    with inside(walked):
        walked.check_words()
        one = by_hand(walked)
        shown = cast.ines.client().get(at("visit-sign", walked.visit))
        digest = shown.context["page"].digest
        tick = {"shown_digest": digest, "was_there": "on"}
        form = words_form(one, seen="The reviewer wrote this at the last moment.")
        acts = [
            poster(cast.ines, at("visit-sign", walked.visit), tick),
            poster(cast.reviewer, at("finding-words", one), form),
        ]

    signed, changed = at_once(*acts)

    assert changed.status_code == 302
    assert signed.status_code in (302, 409)
    with inside(walked):
        standing = SignOff.objects.filter(kind="SIGNED", undone_at__isnull=True)
        assert not standing.exists()
        walked.visit.refresh_from_db()
        assert walked.visit.status == "HANDED_IN"


def test_of_two_signatures_one_stands(walked: Walk) -> None:
    cast = walked.cast
    with inside(walked):
        walked.check_words()
        shown = cast.ines.client().get(at("visit-sign", walked.visit))
        tick = {"shown_digest": shown.context["page"].digest, "was_there": "on"}
        address = at("visit-sign", walked.visit)
        acts = [poster(cast.ines, address, tick) for _ in range(2)]

    answers = at_once(*acts)

    assert sorted(answer.status_code for answer in answers) == [302, 409]
    with inside(walked):
        assert SignOff.objects.filter(kind="SIGNED").count() == 1


def test_of_two_finished_reviews_one_counts(walked: Walk) -> None:
    cast = walked.cast
    with inside(walked):
        for one in walked.findings():
            form = words_form(one, **whole())
            cast.reviewer.client().post(at("finding-words", one), form)
            now = Finding.objects.get(pk=one.pk)
            version = {"version": str(now.version)}
            cast.reviewer.client().post(at("finding-check", one), version)
        address = at("review-finish", walked.visit)
        acts = [poster(who, address, {}) for who in (cast.reviewer, cast.owner)]

    answers = at_once(*acts)

    assert sorted(answer.status_code for answer in answers) == [302, 409]
    with inside(walked):
        offs = SignOff.objects.filter(kind="WORDS_CHECKED")
        assert offs.count() == 1
