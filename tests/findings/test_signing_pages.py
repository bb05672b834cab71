"""Signing the differences, from the outside."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from findings.models import Finding, SignOff
from firm.models import Licence
from inspections.models import Visit
from tests.support.cast import Cast, Person
from tests.support.reviewed import at, by_hand, by_rule, handed_in, rewrite, whole
from tests.support.walked import Walk, space

pytestmark = pytest.mark.django_db


def checked(cast: Cast) -> Walk:
    walked = handed_in(cast)
    walked.check_words()
    return walked


def page_of(person: Person, walked: Walk) -> Any:
    response = person.client().get(at("visit-sign", walked.visit))
    assert response.status_code == 200, response.content
    return response.context["page"]


def sign(walked: Walk, digest: str | None = None, **typed: str) -> Any:
    ines = walked.cast.ines
    shown = page_of(ines, walked).digest if digest is None else digest
    form = {"shown_digest": shown, "was_there": "on", **typed}
    return ines.client().post(at("visit-sign", walked.visit), form)


def status(walked: Walk) -> str:
    walked.visit.refresh_from_db()
    return walked.visit.status


def test_the_inspector_signs_what_the_page_shows(cast: Cast) -> None:
    walked = checked(cast)
    page = page_of(cast.ines, walked)
    assert page.checked_by == "Words checked by Rae Reviewer, who did not visit."
    assert "NC N-1" in page.licence
    assert page.stands_against == ()

    assert sign(walked).status_code == 302

    assert status(walked) == "SIGNED"
    off = SignOff.objects.get(kind="SIGNED", undone_at__isnull=True)
    assert (off.membership, off.licence_number) == (cast.ines.member, "N-1")
    assert off.content_sha256 == page.digest
    assert {f.state for f in walked.findings()} == {"SIGNED"}
    assert page_of(cast.ines, walked).signed.startswith("Signed by Ines Field, ")


def test_only_what_changed_since_hand_in_stands_open(cast: Cast) -> None:
    walked = handed_in(cast)
    one = by_hand(walked)
    rewrite(cast.reviewer, one, **whole())

    page = page_of(cast.ines, walked)

    (changed,) = page.findings
    assert len(page.unchanged) == len(walked.findings()) - 1
    seen = next(part for part in changed.parts if part.key == "seen")
    assert seen.changed
    assert "closet rubs" in seen.before
    assert seen.now == whole()["seen"]


def test_handing_in_again_does_not_hide_what_review_changed(cast: Cast) -> None:
    walked = handed_in(cast)
    rewrite(cast.reviewer, by_hand(walked), **whole())
    walked.hand_in()

    page = page_of(cast.ines, walked)

    assert any(row.changed for row in page.findings)


def test_another_digest_is_refused_and_the_page_comes_anew(cast: Cast) -> None:
    walked = checked(cast)

    response = sign(walked, "0" * 64)

    assert response.status_code == 409
    said = response.content.decode()
    assert "Something changed since this page was loaded" in said
    assert (
        response.context["form"]["shown_digest"].value()
        == page_of(cast.ines, walked).digest
    )
    assert status(walked) == "WORDS_CHECKED"


def test_a_signature_needs_the_tick(cast: Cast) -> None:
    walked = checked(cast)

    response = sign(walked, was_there="")

    assert response.status_code == 400
    assert "Tick this to sign" in response.content.decode()
    assert status(walked) == "WORDS_CHECKED"


def test_nobody_else_signs(cast: Cast) -> None:
    walked = checked(cast)
    digest = page_of(cast.ines, walked).digest

    for person, code in (
        (cast.reviewer, 403),
        (cast.owner, 403),
        (cast.omar, 404),
        (cast.scheduler, 403),
        (cast.stranger, 404),
    ):
        client = person.client()
        form = {"shown_digest": digest, "was_there": "on"}
        assert client.get(at("visit-sign", walked.visit)).status_code == code
        assert client.post(at("visit-sign", walked.visit), form).status_code == code
    assert status(walked) == "WORDS_CHECKED"


def test_nothing_is_signed_before_the_words_are_checked(cast: Cast) -> None:
    walked = handed_in(cast)

    response = sign(walked)

    assert response.status_code == 409
    assert "The visit is “With the reviewer”" in response.content.decode()
    assert page_of(cast.ines, walked).stands_against


def test_an_expired_licence_does_not_sign(cast: Cast) -> None:
    walked = checked(cast)
    Licence.objects.filter(membership=cast.ines.member).update(state="VA")

    response = sign(walked)

    assert response.status_code == 409
    assert "has no North Carolina license" in response.content.decode()
    assert status(walked) == "WORDS_CHECKED"


def test_a_waiting_change_stands_against_the_signature(cast: Cast) -> None:
    walked = checked(cast)
    asked = {"timing": "watch", "reason": "Later.", "change_asked_by": "NOBODY"}
    cast.reviewer.client().post(at("finding-change", by_rule(walked)), asked)

    response = sign(walked)

    assert response.status_code == 409
    assert "waits for your answer" in response.content.decode()


@pytest.mark.parametrize("stage", ["WORDS_CHECKED", "SIGNED"])
def test_a_later_change_of_words_takes_the_sign_offs_back(
    cast: Cast, stage: str
) -> None:
    walked = checked(cast)
    if stage == "SIGNED":
        assert sign(walked).status_code == 302
    one = by_hand(walked)

    rewrite(cast.reviewer, one, seen="Something else entirely was seen there.")

    assert status(walked) == "HANDED_IN"
    assert standing() == ["HANDED_IN"]
    undone = SignOff.objects.filter(kind=stage, undone_at__isnull=False).get()
    assert undone.undone_because == "words were changed"
    one.refresh_from_db()
    assert one.state == "IN_REVIEW"


def standing() -> list[str]:
    rows = SignOff.objects.filter(undone_at__isnull=True)
    return sorted(rows.values_list("kind", flat=True))


def test_sending_back_takes_the_sign_offs_back(cast: Cast) -> None:
    walked = checked(cast)
    assert sign(walked).status_code == 302
    address = at("finding-return", by_hand(walked))

    cast.reviewer.client().post(address, {"note": "Which closet?"})

    assert status(walked) == "HANDED_IN"
    assert standing() == ["HANDED_IN"]


def test_a_yes_to_a_change_takes_the_sign_offs_back(cast: Cast) -> None:
    walked = checked(cast)
    one = by_rule(walked)
    asked = {"timing": "watch", "reason": "Later.", "change_asked_by": "NOBODY"}
    cast.reviewer.client().post(at("finding-change", one), asked)
    change = one.substance_changes.get()

    cast.ines.client().post(at("change-answer", change), {"answer": "yes"})

    assert status(walked) == "HANDED_IN"
    assert standing() == ["HANDED_IN"]


def test_what_was_recorded_after_signing_is_signed_again(cast: Cast) -> None:
    walked = checked(cast)
    assert sign(walked).status_code == 302
    assert sign(walked).status_code == 409
    walked.own(weather_now="rain")

    page = page_of(cast.ines, walked)
    assert page.signed == ""
    assert sign(walked, page.digest).status_code == 302
    assert status(walked) == "SIGNED"
    assert standing() == ["HANDED_IN", "SIGNED", "WORDS_CHECKED"]


def test_an_undecided_proposal_after_checking_stands_against_it(cast: Cast) -> None:
    walked = checked(cast)
    odd = {
        "kind": "receptacle",
        "stop": "s-kit",
        "place": "left of the sink",
        "contacts": "three",
        "lamps": ["neutral_ground", "hot_ground"],
        "load_present": "no",
    }
    walked.record(**{"r-odd": odd})
    assert walked.seen().undecided

    response = sign(walked)

    assert response.status_code == 409
    assert "No answer yet" in response.content.decode()
    walked.decide("use")
    walked.hand_in()
    assert status(walked) == "HANDED_IN"
    assert standing() == ["HANDED_IN"]


@pytest.mark.parametrize(
    ("record", "why"),
    [
        ("ffffffff-ffff-4fff-bfff-ffffffffffff", "Hand the visit in again"),
        # The new space leads the joined proposal: its answer is asked for anew.
        ("00000000-0000-4000-8000-000000000000", "No answer yet"),
    ],
)
def test_facts_that_join_a_finding_after_hand_in_are_handed_in_again(
    cast: Cast, record: str, why: str
) -> None:
    walked = checked(cast)
    one = by_rule(walked)
    walked.ids["sp-15"] = record
    walked.record(**{"sp-15": space(15, amps=30)})

    response = sign(walked)

    assert response.status_code == 409
    assert why in response.content.decode()
    walked.decide("use")
    walked.hand_in()
    again = by_rule(walked)
    assert (again.pk, again.words) == (one.pk, one.words)
    assert len((again.proposal or {})["subjects"]) == 2
    assert again.state == "IN_REVIEW"


def test_a_released_visit_is_closed(cast: Cast) -> None:
    walked = checked(cast)
    assert sign(walked).status_code == 302
    Visit.objects.filter(pk=walked.visit.pk).update(status="RELEASED")
    one = by_hand(walked)

    assert rewrite(cast.reviewer, one, seen="Other.").status_code == 409
    returned = cast.reviewer.client().post(at("finding-return", one), {"note": "x"})
    assert returned.status_code == 409
    page = cast.reviewer.client().get(at("finding-read", one)).context["page"]
    assert (page.words_url, page.change_url, page.return_url, page.check_url) == (
        ("",) * 4
    )
    assert page_of(cast.ines, walked).sign_url == ""


def test_the_page_asks_the_same_however_many_findings(cast: Cast) -> None:
    walked = handed_in(cast)
    client = cast.ines.client()
    counts = []
    for number in range(3):
        walked.finding(f"extra-{number}", stop=walked.id("s-kit"))
        with CaptureQueriesContext(connection) as caught:
            assert client.get(at("visit-sign", walked.visit)).status_code == 200
        counts.append(len(caught))

    assert len(set(counts)) == 1, counts
    assert Finding.objects.count() > 3
