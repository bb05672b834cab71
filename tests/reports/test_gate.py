"""What stands against a release: each sentence names which, and goes when settled."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from findings.models import Finding, NoticeText, Revision, SignOff
from findings.services import review, words
from findings.services.words import Rewording
from findings.wording.words import Words
from firm.models import Licence
from inspections.models import Contact, Party, PhotoFile, Visit
from inspections.services import log
from reports.models import Release
from reports.selectors.gate import Blocker, blockers
from tests.support.cast import Cast
from tests.support.walked import NOW, Walk, space, walk

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(cast: Cast) -> Walk:
    walked = walk(cast)
    walked.clients("Dana Whitlow")
    return walked


@pytest.fixture
def finished(made: Walk) -> Walk:
    made.picture("ph-13", stop="s-svc", about="sp-13", use="shows_it")
    made.decide("use")
    made.finish()
    return made


def found(walked: Walk) -> list[Blocker]:
    return blockers(walked.cast.reviewer.actor, walked.visit)


def texts(walked: Walk, code: str) -> list[str]:
    return [one.text for one in found(walked) if one.code == code]


def codes(walked: Walk) -> set[str]:
    return {one.code for one in found(walked)}


def test_nothing_stands_against_a_finished_visit(finished: Walk) -> None:
    assert found(finished) == []


def test_each_client_who_has_not_signed_is_named(cast: Cast) -> None:
    walked = walk(cast)
    walked.clients("Dana Whitlow", "Rui Whitlow", signed=False)

    assert texts(walked, "agreement-unsigned") == [
        "Dana Whitlow has not signed the agreement.",
        "Rui Whitlow has not signed the agreement.",
    ]


def test_a_report_has_somebody_to_report_to(cast: Cast) -> None:
    assert texts(walk(cast), "no-client") == [
        "The booking names no client to report to."
    ]


def test_a_client_named_later_has_to_sign_too(finished: Walk) -> None:
    Party.objects.create(
        firm=finished.cast.northside,
        visit=finished.visit,
        contact=Contact.objects.create(
            firm=finished.cast.northside, name="Late Whitlow"
        ),
        part="CLIENT",
    )

    assert texts(finished, "agreement-unsigned") == [
        "Late Whitlow has not signed the agreement."
    ]


def test_a_proposal_without_an_answer_is_named_with_its_place(made: Walk) -> None:
    said = texts(made, "proposal-undecided")

    assert any("Service equipment" in text and "space 13" in text for text in said)
    made.decide("not_here", reason="already_covered")
    assert texts(made, "proposal-undecided") == []


def test_an_open_duty_is_named_with_where_and_how(finished: Walk) -> None:
    log.record(
        actor=finished.cast.ines.actor,
        visit=finished.visit,
        changes=[log.Change(finished.id("s-kit"), "lights_tried", None)],
    )

    said = texts(finished, "duty-open")

    assert any("Kitchen" in text and "lights" in text for text in said)


def test_two_values_for_one_entry_are_named(finished: Walk) -> None:
    other = finished.cast.ines.actor
    change = log.Change(finished.id("sp-13"), "label", "Office", seen=())
    log.record(actor=other, visit=finished.visit, changes=[change])

    said = texts(finished, "two-values")

    assert len(said) == 1
    assert "label" in said[0]
    assert "signed-other-contents" in codes(finished)


@pytest.mark.parametrize(
    ("state", "says"),
    [
        (Finding.State.DRAFT, "it has not been handed in."),
        (Finding.State.IN_REVIEW, "its words are not checked yet."),
        (Finding.State.RETURNED, "it went back to the inspector with a note."),
        (Finding.State.WORDS_CHECKED, "the inspector has not signed it."),
    ],
)
def test_a_finding_that_waits_says_for_whom(
    finished: Walk, state: Finding.State, says: str
) -> None:
    finished.finding("x", state=state, stop=finished.id("s-bed"), places=["Bedroom"])

    assert texts(finished, "finding-not-signed") == [
        f"Bedroom, receptacle (could hurt someone): {says}"
    ]


def test_a_withdrawn_finding_stands_against_nothing(finished: Walk) -> None:
    finished.finding("x", state="WITHDRAWN", places=["Bedroom"])

    assert found(finished) == []


def test_an_open_note_says_what_it_is_about(finished: Walk) -> None:
    row = finished.findings()[0]
    note = review.write_note(
        actor=finished.cast.reviewer.actor,
        visit=finished.visit,
        about=f"finding:{row.pk}",
        text="Is the label readable in the photo?",
    )

    said = texts(finished, "note-open")

    assert "Is the label readable in the photo?" in said[0]
    assert "Service equipment" in said[0]
    review.settle_note(
        actor=finished.cast.ines.actor, note=note, answer="Yes.", now=NOW
    )
    assert texts(finished, "note-open") == []


def test_a_change_of_substance_waits_for_the_inspector(finished: Walk) -> None:
    words.ask_for_change(
        actor=finished.cast.reviewer.actor,
        finding=finished.findings()[0],
        field="timing",
        after="today",
        reason="a child lives there",
        asked_by=Revision.AskedBy.NOBODY,
    )

    said = texts(finished, "change-waiting")

    assert len(said) == 1
    assert "a change of timing waits for the inspector" in said[0]


def test_photos_name_what_is_missing_and_where(made: Walk) -> None:
    made.picture("ph-1", stop="s-kit", use="general_view", stored=False)
    made.record(
        **{
            "ph-2": {
                "kind": "photo",
                "stop": "s-gar",
                "use": "for_me",
                "taken_at": "2026-11-24T15:30:00Z",
            }
        }
    )

    said = texts(made, "photo-missing")

    assert any("Photo 1 at Kitchen (general view)" in text for text in said)
    assert any("10 of" in text and "bytes have arrived" in text for text in said)
    assert any("Photo 2 at Garage" in text and "not arrived" in text for text in said)


def test_photos_without_copies_say_whether_any_can_be_made(made: Walk) -> None:
    file = made.picture("ph-1", stop="s-kit", use="general_view", caption="The sink")
    assert not {code for code in codes(made) if code.startswith("photo")}

    file.renditions.all().delete()
    assert texts(made, "photo-not-copied") == [
        "Photo 1 at Kitchen (The sink): its copies for the report are not made yet."
    ]
    PhotoFile.objects.filter(pk=file.pk).update(trouble="the file is cut short.")
    assert texts(made, "photo-unreadable") == [
        "Photo 1 at Kitchen (The sink): no copy can be made: the file is cut short."
    ]
    made.record(**{"ph-1": {"use": "for_me"}})
    assert not {code for code in codes(made) if code.startswith("photo")}


def test_bytes_that_are_not_those_of_the_phone_are_told(made: Walk) -> None:
    made.picture("ph-1", stop="s-kit", use="general_view")
    made.record(**{"ph-1": {"sha256": "0" * 64}})

    assert "not those that the phone took" in texts(made, "photo-differs")[0]


def test_a_visit_that_nobody_signed_says_who_signs(made: Walk) -> None:
    assert texts(made, "not-signed") == ["Ines Field has not signed."]


def test_a_signature_taken_back_says_why(finished: Walk) -> None:
    row = finished.findings()[0]
    words.rewrite(
        actor=finished.cast.reviewer.actor,
        finding=row,
        new=Rewording(Words("a", "b", "c", "d"), row.version),
    )

    assert texts(finished, "signature-undone") == [
        "Ines Field's signature was taken back, because words were changed."
    ]


def test_contents_that_moved_on_after_signing_are_noticed(finished: Walk) -> None:
    finished.record(**{"sp-15": space(15, amps=15, label="Porch")})

    assert texts(finished, "signed-other-contents") == [
        "Something changed after Ines Field signed. Ines Field signs again."
    ]


def test_a_licence_that_had_run_out_on_the_day_is_told(finished: Walk) -> None:
    Licence.objects.filter(membership=finished.cast.ines.member).update(
        expires_on=date(2026, 1, 31)
    )

    assert texts(finished, "licence") == [
        "Ines Field has no North Carolina license that was valid on November 24, 2026."
    ]


def test_the_notice_of_the_state_is_asked_for_where_it_is_compulsory(
    cast: Cast,
) -> None:
    walked = walk(cast, scope=[])
    walked.clients("Dana Whitlow")

    assert (
        "notice for the summary in North Carolina"
        in (texts(walked, "notice-missing")[0])
    )
    NoticeText.objects.create(
        firm=cast.northside,
        pack="NC",
        slot="summary_notice",
        text="As the official text has it.",
        source="read there",
        entered_by=cast.owner.member,
    )
    assert texts(walked, "notice-missing") == []


def test_a_rule_from_memory_needs_the_firms_reader(finished: Walk) -> None:
    finished.finding(
        "x",
        state="SIGNED",
        rule="elec.recalled",
        proposal={"firm_only": True, "title": "Something recalled"},
        places=["Bedroom"],
    )

    assert (
        "“Something recalled” rests on a rule from memory"
        in (texts(finished, "rule-not-checked")[0])
    )


def test_a_release_under_way_is_named(finished: Walk) -> None:
    signed = SignOff.objects.get(visit=finished.visit, kind="SIGNED")
    Release.objects.create(
        firm=finished.cast.northside,
        visit=finished.visit,
        number=finished.visit.number,
        issue=1,
        snapshot=b"{}",
        snapshot_sha256="0" * 64,
        signature=signed,
        asked_for_by=finished.cast.reviewer.member,
        frozen_at=NOW,
    )

    assert texts(finished, "release-under-way") == [
        "Issue 1 of R-2026-0001 is being made already."
    ]


def test_an_abandoned_visit_has_no_report(finished: Walk) -> None:
    Visit.objects.filter(pk=finished.visit.pk).update(status="ABANDONED")

    assert "abandoned" in codes(finished)


def test_the_visit_of_another_firm_does_not_exist(finished: Walk) -> None:
    with pytest.raises(Visit.DoesNotExist):
        blockers(finished.cast.stranger.actor, finished.visit)


def test_the_number_of_queries_does_not_grow(made: Walk) -> None:
    made.finding("a", stop=made.id("s-bed"), places=["Bedroom"])
    few = _queries(made)
    for number in range(5):
        made.finding(f"x{number}", stop=made.id("s-kit"), places=["Kitchen"])
        made.picture(f"ph-{number}", stop="s-kit", use="general_view")
        review.write_note(
            actor=made.cast.reviewer.actor, visit=made.visit, about="visit", text="?"
        )

    assert _queries(made) == few


def _queries(made: Walk) -> int:
    with CaptureQueriesContext(connection) as held:
        found(made)
    return len(held)
