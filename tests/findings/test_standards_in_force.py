"""A firm checks a state's standard and puts it in force, from the outside."""

from datetime import date
from typing import Any
from uuid import uuid4

import pytest
from django.urls import reverse

from findings.models import DutyCheck, NoticeText
from findings.selectors.standards import missing, whole
from findings.standards.loader import pack
from firm.models import AuditEntry, Licence, StandardInForce
from inspections.models import LogRow, Visit
from tests.inspections.test_bookings_views import book
from tests.support.cast import Cast, Person
from tests.support.walked import NOW, walk

pytestmark = pytest.mark.django_db

TEXAS = pack("TX")


def url(name: str, code: str = "TX") -> str:
    return reverse(name, args=["northside", code])


def licensed(person: Person, state: str = "TX") -> Person:
    Licence.objects.create(
        firm=person.firm,
        membership=person.member,
        state=state,
        number=f"{state}-{person.member.name[:4]}",
        valid_from=date(2020, 1, 1),
        expires_on=date(2031, 1, 1),
    )
    return person


def check(person: Person, lines: list[str], **more: Any) -> Any:
    return person.client().post(url("standard-check"), {"lines": lines, **more})


def all_lines() -> list[str]:
    return [*TEXAS.from_memory(), whole(TEXAS)]


def put_on(cast: Cast) -> Any:
    keeper = {"keeper": str(cast.owner.member.pk)}
    return cast.owner.client().post(url("standard-on"), keeper)


def test_a_state_that_is_not_on_cannot_be_booked(cast: Cast) -> None:
    licensed(cast.ines)

    response = book(cast, state="TX")

    assert response.status_code == 400
    assert b"The standard of TX is not switched on" in response.content
    assert b"14 Alder Row" in response.content
    assert not Visit.objects.exists()


def test_what_is_missing_is_listed_and_stands_against_switching_on(cast: Cast) -> None:
    lacking = missing(cast.owner.actor, TEXAS, date(2026, 3, 2))

    assert {one.code for one in lacking} == {"no-license", "not-read", "not-read-whole"}
    assert len(lacking) == len(TEXAS.from_memory()) + 2
    response = put_on(cast)
    assert response.status_code == 409
    assert b"cannot be switched on yet" in response.content
    assert b"Nobody of the firm holds a Texas license today." in response.content
    assert not StandardInForce.objects.filter(pack="TX").exists()


def test_once_every_line_is_read_the_owner_puts_it_in_force(cast: Cast) -> None:
    licensed(cast.reviewer)
    licensed(cast.ines)

    assert check(cast.reviewer, all_lines(), note="state site, May").status_code == 302
    assert put_on(cast).status_code == 302

    row = StandardInForce.objects.get(pack="TX")
    assert (row.version, row.keeper, row.checked_by) == (
        1,
        cast.owner.member,
        cast.reviewer.member,
    )
    assert AuditEntry.objects.filter(event="standard.on").exists()
    page = cast.owner.client().get(url("standard-read")).content.decode()
    assert "Rae Reviewer checked it on" in page
    assert book(cast, state="TX").status_code == 302
    assert Visit.objects.get().pack == "TX"


def test_one_line_left_out_keeps_it_off(cast: Cast) -> None:
    licensed(cast.reviewer)
    check(cast.reviewer, all_lines()[1:])

    response = put_on(cast)

    assert response.status_code == 409
    assert response.content.count(b"From memory, to be read:") >= 1


def test_only_somebody_licensed_there_checks_lines(cast: Cast) -> None:
    response = check(cast.reviewer, [whole(TEXAS)], note="read it in May")

    assert response.status_code == 403
    assert b"holds a Texas license that is" in response.content
    assert b"read it in May" in response.content  # nothing typed is lost
    assert not DutyCheck.objects.exists()


@pytest.mark.parametrize("person", ["scheduler", "ines", "trainee"])
def test_people_without_the_part_neither_check_nor_switch(
    cast: Cast, person: str
) -> None:
    who = licensed(getattr(cast, person))
    keeper = {"keeper": str(cast.owner.member.pk)}

    assert check(who, [whole(TEXAS)]).status_code == 403
    assert who.client().post(url("standard-on"), keeper).status_code == 403
    assert who.client().get(url("standard-read")).status_code == 200


def test_ticking_nothing_says_so(cast: Cast) -> None:
    licensed(cast.reviewer)

    response = check(cast.reviewer, [])

    assert response.status_code == 400
    assert b"Tick at least one line that you have read." in response.content


def test_a_notice_is_copied_in_versions_and_wanted_before_switching_on(
    cast: Cast,
) -> None:
    client = cast.reviewer.client()
    slot = {"slot": "summary_notice", "text": "As the law words it.", "source": "site"}
    nc = pack("NC")

    before = {one.code for one in missing(cast.owner.actor, nc, date(2026, 3, 2))}
    empty = client.post(url("standard-notice", "NC"), {**slot, "text": ""})
    assert client.post(url("standard-notice", "NC"), slot).status_code == 302
    assert client.post(url("standard-notice", "NC"), slot).status_code == 302
    after = {one.code for one in missing(cast.owner.actor, nc, date(2026, 3, 2))}

    assert "notice" in before
    assert empty.status_code == 400
    assert b'value="site"' in empty.content
    assert "notice" not in after
    assert [row.version for row in NoticeText.objects.order_by("version")] == [1, 2]


def test_switching_off_needs_a_reason_and_stops_new_bookings_only(cast: Cast) -> None:
    assert book(cast).status_code == 302
    client = cast.owner.client()

    bare = client.post(url("standard-off", "NC"), {"because": ""})
    done = client.post(url("standard-off", "NC"), {"because": "The rule changed."})

    assert bare.status_code == 400
    assert done.status_code == 302
    assert StandardInForce.objects.get().off_because == "The rule changed."
    assert book(cast, starts_at="14:00").status_code == 400
    assert Visit.objects.get().pack == "NC"


def test_the_list_names_what_each_begun_state_lacks(cast: Cast) -> None:
    page = cast.owner.client().get(reverse("standard-list", args=["northside"]))

    text = page.content.decode()
    assert "North Carolina" in text
    assert "Connecticut" in text
    assert "missing: the list of duties" in text
    assert f"{len(TEXAS.from_memory()) + 2} to settle before it can be on" in text


def test_the_page_of_a_state_that_nobody_wrote_is_not_there(cast: Cast) -> None:
    client = cast.owner.client()

    assert client.get(url("standard-read", "CT")).status_code == 404
    assert client.get(url("standard-read", "..")).status_code == 404


def test_a_trainees_supervised_visits_are_counted(cast: Cast) -> None:
    walked = walk(cast)
    row = LogRow.objects.filter(visit=walked.visit).order_by("-version")[0]
    row.pk, row.by = None, cast.trainee.member
    row.mutation, row.seq, row.version = uuid4(), (row.seq or 0) + 1, row.version + 1
    row.save(force_insert=True)

    def told() -> str:
        return cast.owner.client().get(url("standard-read", "NC")).content.decode()

    assert "Tova Trainee: 0, no number is asked" in told()
    Visit.objects.filter(pk=walked.visit.pk).update(handed_in_at=NOW)
    assert "Tova Trainee: 1, no number is asked" in told()
