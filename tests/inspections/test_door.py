"""What was signed and paid on a phone at the door reaches the booking."""

import hashlib
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest

from firm.models import Installation
from inspections.models import (
    Agreement,
    AgreementSignature,
    Contact,
    LogRow,
    Party,
    Visit,
)
from inspections.services import log
from tests.support.cast import Cast
from tests.support.visits import make_visit, mutation

pytestmark = pytest.mark.django_db(transaction=True)
TEXT = "We look at what can be seen, and say what could not."
DIGEST = hashlib.sha256(TEXT.encode()).hexdigest()
AT = "2026-11-24T14:05:00Z"
NOW = datetime(2026, 11, 24, 14, 10, tzinfo=UTC)


@pytest.fixture
def booked(cast: Cast) -> tuple[Visit, Party]:
    Installation.objects.get_or_create()
    with cast.inside():
        visit = make_visit(cast.ines)
        visit.fee_cents = 42500
        visit.save()
        contact = Contact.objects.create(firm=cast.northside, name="Wren Halloway")
        client = Party.objects.create(
            firm=cast.northside, visit=visit, contact=contact, part=Party.As.CLIENT
        )
        Agreement.objects.create(
            firm=cast.northside, visit=visit, text=TEXT, text_sha256=DIGEST, made_at=NOW
        )
    return visit, client


class Phone:
    def __init__(self, cast: Cast, visit: Visit) -> None:
        self.cast, self.visit, self.device, self.seq = cast, visit, uuid4(), 0
        self.sent: list[dict[str, Any]] = []

    def enter(self, kind: str, **fields) -> str:
        rec = str(uuid4())
        batch = []
        for name, value in {"kind": kind, **fields}.items():
            self.seq += 1
            batch.append(mutation(self.seq, name, value, rec=rec, at=AT))
        self.push(batch)
        return rec

    def push(self, batch: list[dict[str, Any]]) -> None:
        self.sent = batch
        answer = log.push(
            actor=self.cast.ines.actor, visit_id=self.visit.pk, device=self.device,
            client="test", now=NOW, mutations=batch, received_at=NOW,
        )  # fmt: skip
        assert {one.s for one in answer.results} <= {"ok", "dup"}


def signature_of(cast: Cast, client: Party) -> AgreementSignature | None:
    with cast.inside():
        return AgreementSignature.objects.filter(party=client).first()


def signed(party: Party, **other: Any) -> dict[str, Any]:
    whole = {
        "client": str(party.pk), "name": "Wren Halloway", "agreement": DIGEST,
        "text_sha256": DIGEST, "typed": True, "signed_at": AT,
    }  # fmt: skip
    return whole | other


def test_a_signature_at_the_door_signs_the_agreement(cast: Cast, booked):
    visit, client = booked
    Phone(cast, visit).enter("signature", **signed(client))

    row = signature_of(cast, client)

    assert row is not None
    assert row.signed_name == "Wren Halloway"
    assert row.signed_at == datetime(2026, 11, 24, 14, 5, tzinfo=UTC)
    assert row.signed_text_sha256 == DIGEST


def test_sent_twice_it_signs_once(cast: Cast, booked):
    visit, client = booked
    phone = Phone(cast, visit)
    phone.enter("signature", **signed(client))
    first = signature_of(cast, client)
    phone.push(phone.sent)
    phone.enter("signature", **signed(client, name="Somebody Later"))

    with cast.inside():
        assert AgreementSignature.objects.filter(party=client).count() == 1
    now = signature_of(cast, client)
    assert now is not None
    assert first is not None
    assert now.signed_name == first.signed_name


@pytest.mark.parametrize(
    "other",
    [
        {"text_sha256": "0" * 64},
        {"client": "not-an-id"},
        {"client": str(uuid4())},
        {"name": "  "},
    ],
)
def test_what_does_not_fit_signs_nothing_and_is_kept_in_the_log(
    cast: Cast, booked, other
):
    visit, client = booked
    Phone(cast, visit).enter("signature", **signed(client, **other))

    with cast.inside():
        assert LogRow.objects.filter(visit=visit, value="signature").exists()
    assert signature_of(cast, client) is None


def test_a_signature_that_was_taken_off_again_does_not_count(cast: Cast, booked):
    visit, client = booked
    phone = Phone(cast, visit)
    whole = signed(client)
    name = whole.pop("name")
    rec = phone.enter("signature", **whole)
    phone.push([mutation(phone.seq + 1, "_gone", True, rec=rec, at=AT)])
    phone.push([mutation(phone.seq + 2, "name", name, rec=rec, at=AT)])

    assert signature_of(cast, client) is None


def test_paid_is_when_what_was_agreed_with_its_changes_is_covered(cast: Cast, booked):
    visit, _ = booked
    phone = Phone(cast, visit)
    phone.enter("scope_change", what="The garden shed too", price_cents=7500)
    pay = {"how": "check", "payer": "Wren Halloway"}
    phone.enter("payment", amount_cents=42500, received_at=AT, **pay)
    with cast.inside():
        visit.refresh_from_db()
        before = visit.paid_at
    later = "2026-11-24T17:30:00Z"
    phone.enter("payment", amount_cents=7500, received_at=later, **pay)
    with cast.inside():
        visit.refresh_from_db()

    assert before is None
    assert visit.paid_at == datetime(2026, 11, 24, 17, 30, tzinfo=UTC)


def test_an_unsigned_unpaid_visit_still_takes_every_entry(cast: Cast, booked):
    visit, _ = booked
    Phone(cast, visit).enter("note", text="Started without a signature.")

    with cast.inside():
        visit.refresh_from_db()
        assert visit.paid_at is None
        assert LogRow.objects.filter(visit=visit, status="ok").count() == 2
