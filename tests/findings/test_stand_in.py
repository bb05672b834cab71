"""Signing in the inspector's place: who may, and what the report tells of it."""

from __future__ import annotations

import json
from typing import Any
from uuid import uuid4

import msgspec
import pytest

from findings.models import SignOff
from findings.selectors.contents import content_digest
from findings.standards import loader
from firm.models import AuditEntry
from inspections.models import LogRow
from tests.support.cast import Cast, Person
from tests.support.reviewed import at, handed_in
from tests.support.walked import Walk

pytestmark = pytest.mark.django_db

WHY = "Ines is in hospital and cannot read the report."


def checked(cast: Cast) -> Walk:
    walked = handed_in(cast)
    walked.clients("Ada Buyer")
    walked.check_words()
    return walked


def was_there(walked: Walk, person: Person) -> None:
    """Let one entry of the log be by a second person, as beside a supervisor."""
    row = LogRow.objects.filter(visit=walked.visit).latest("version")
    row.pk, row.mutation, row.by = None, uuid4(), person.member
    row.version, row.device, row.seq = row.version + 1, None, None
    row.save(force_insert=True)


def sign_for(walked: Walk, person: Person, **typed: str) -> Any:
    digest = content_digest(person.actor, walked.visit)
    form = {"shown_digest": digest, "was_there": "on", "because": WHY, **typed}
    return person.client().post(at("visit-stand-in", walked.visit), form)


def test_where_the_state_wants_who_was_there_nobody_else_signs(cast: Cast) -> None:
    walked = checked(cast)

    response = sign_for(walked, cast.reviewer)

    assert response.status_code == 409
    said = response.content.decode()
    assert "Rae Reviewer was not on site" in said
    assert WHY in said
    assert not SignOff.objects.filter(kind="SIGNED").exists()


def test_who_was_there_too_stands_in_and_the_report_tells(cast: Cast) -> None:
    walked = checked(cast)
    was_there(walked, cast.reviewer)

    assert sign_for(walked, cast.reviewer).status_code == 302

    off = SignOff.objects.get(kind="SIGNED")
    assert (off.membership, off.standing_in_for) == (
        cast.reviewer.member,
        cast.ines.member,
    )
    assert (off.stand_in_because, off.licence_number) == (WHY, "N-3")
    entry = AuditEntry.objects.get(event="visit.signed")
    assert entry.detail["instead_of"] == str(cast.ines.member.pk)
    walked.visit.refresh_from_db()
    told = walked.told()
    signed = next(one for one in told["signatures"] if "words" not in one["role"])
    assert signed["name"] == "Rae Reviewer"
    assert signed["role"] == "in place of the inspector"
    assert WHY in signed["meaning"]
    assert told["people"]["looked_by"][0]["name"] == "Ines Field"
    assert told["people"]["looked_by"][0]["signed_local"] == ""
    assert any(
        "signed this report in place of Ines Field" in line and WHY in line
        for line in told["disclosures"]
    )


def test_where_any_licensed_person_may_sign_absence_is_told(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    walked = checked(cast)
    own = loader.pack("NC")
    free = msgspec.structs.replace(
        own, signer=msgspec.structs.replace(own.signer, who="any_licensed")
    )
    monkeypatch.setattr("findings.selectors.signers.pack", lambda _code: free)

    assert sign_for(walked, cast.reviewer).status_code == 302

    walked.visit.refresh_from_db()
    assert "Rae Reviewer was not at the house." in json.dumps(walked.told())


def test_a_stand_in_says_why_and_signs_what_was_shown(cast: Cast) -> None:
    walked = checked(cast)
    was_there(walked, cast.reviewer)

    assert sign_for(walked, cast.reviewer, because=" ").status_code == 400
    assert sign_for(walked, cast.reviewer, was_there="").status_code == 400
    stale = sign_for(walked, cast.reviewer, shown_digest="0" * 64)

    assert stale.status_code == 409
    assert WHY in stale.content.decode()
    assert not SignOff.objects.filter(kind="SIGNED").exists()


def test_who_may_stand_in(cast: Cast) -> None:
    walked = checked(cast)
    answers = {
        name: sign_for(walked, getattr(cast, name)).status_code
        for name in ("ines", "omar", "scheduler", "trainee", "owner", "stranger")
    }

    # The owner has no licence; the others may not at all, or see nothing.
    assert answers == {
        "ines": 403,
        "omar": 404,
        "scheduler": 403,
        "trainee": 404,
        "owner": 409,
        "stranger": 404,
    }


def test_the_review_offers_it_once_the_words_are_checked(cast: Cast) -> None:
    walked = handed_in(cast)
    address = at("visit-stand-in", walked.visit)
    client = cast.reviewer.client()
    assert address not in client.get(at("review-read", walked.visit)).content.decode()
    walked.check_words()

    assert address in client.get(at("review-read", walked.visit)).content.decode()
    shown = client.get(address).content.decode()
    assert "You sign in place of Ines Field" in shown
