"""The firm's book and a visit's package, as a phone takes them along."""

import json
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from findings.rules import loader as rule_files
from findings.standards import loader as pack_files
from firm.models import Instrument
from inspections.models import Contact, Party
from tests.support.cast import Cast
from tests.support.visits import make_visit

pytestmark = pytest.mark.django_db
BOOK = "/api/v1/book"


def package(visit) -> str:
    return f"/api/v1/visits/{visit.pk}/package"


def test_the_book_holds_what_any_visit_needs(cast: Cast):
    book = cast.ines.client().get(BOOK).json()

    assert set(book["rules"]["rules"]) == set(rule_files.ruleset().rules)
    assert set(book["packs"]) == set(pack_files.readable())
    assert book["vocabulary"]["kinds"]["space"]["amps"] == {
        "form": "int", "min": 1, "max": 400,
    }  # fmt: skip
    assert book["vocabulary"]["kinds"]["stop"]["floor"]["form"] == "choice"
    assert book["passages"]
    assert "service_drop" in book["items"]["items"]
    for kind, fields in book["vocabulary"]["kinds"].items():
        for name, form in fields.items():
            assert form["form"], (kind, name)


def test_what_has_not_changed_is_not_sent_again(cast: Cast):
    client = cast.ines.client()
    with cast.inside():
        visit = make_visit(cast.ines)
    for address in (BOOK, package(visit)):
        first = client.get(address)
        again = client.get(address, headers={"If-None-Match": first.headers["ETag"]})

        assert first.status_code == 200
        assert again.status_code == 304
        assert again.content == b""
        assert json.loads(first.content)["digest"] in first.headers["ETag"]


def test_another_instrument_makes_another_book(cast: Cast):
    client = cast.ines.client()
    before = client.get(BOOK)
    with cast.inside():
        past = timezone.now().date() - timedelta(days=1)
        Instrument.objects.create(
            firm=cast.northside, key="tape-9", kind="tape", name="Steel tape",
            tolerance="1/16 in", calibrated_until=past,
        )  # fmt: skip

    after = client.get(BOOK)

    held = {one["key"]: one for one in after.json()["instruments"]}
    assert after.headers["ETag"] != before.headers["ETag"]
    assert held["tape-9"]["expired"] is True


def test_nothing_of_another_firm_is_in_it(cast: Cast):
    with cast.inside(cast.elsewhere):
        Instrument.objects.create(
            firm=cast.elsewhere, key="theirs", kind="tape", name="Their tape"
        )

    ours = cast.ines.client().get(BOOK).content.decode()

    assert "Their tape" not in ours


def test_the_package_names_the_clients_and_who_has_signed(cast: Cast):
    with cast.inside():
        visit = make_visit(cast.ines)
        contact = Contact.objects.create(firm=cast.northside, name="Wren Halloway")
        Party.objects.create(
            firm=cast.northside, visit=visit, contact=contact, part=Party.As.CLIENT
        )

    told = cast.ines.client().get(package(visit)).json()

    mine = [one for one in told["clients"] if one["name"] == "Wren Halloway"]
    assert mine[0]["signed_at"] is None
    assert told["visit"]["property"]["street"] == visit.property.street
    assert told["property_facts"]["state"] == visit.property.state
    assert told["earlier"] is None


def test_how_many_questions_it_asks_does_not_grow_with_the_rows(cast: Cast):
    client = cast.ines.client()
    with cast.inside():
        visit = make_visit(cast.ines)
    counts = []
    for round_ in range(2):
        with cast.inside():
            for number in range(6 * round_):
                contact = Contact.objects.create(
                    firm=cast.northside, name=f"Client {number}"
                )
                Party.objects.create(
                    firm=cast.northside, visit=visit, contact=contact,
                    part=Party.As.CLIENT,
                )  # fmt: skip
                Instrument.objects.create(
                    firm=cast.northside, key=f"t-{number}", kind="tape", name="Tape"
                )
        for address in (BOOK, package(visit)):
            with CaptureQueriesContext(
                connection,
            ) as asked:
                client.get(address)
            counts.append(len(asked))

    assert counts[:2] == counts[2:]


@pytest.mark.parametrize("who", ["omar", "stranger"])
def test_a_visit_of_somebody_else_is_not_there(cast: Cast, who: str):
    with cast.inside():
        visit = make_visit(cast.ines)

    answer = getattr(cast, who).client().get(package(visit))

    assert answer.status_code == 404
