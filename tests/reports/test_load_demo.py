"""The demo's firms load from data, once, and each sees only its own."""

from datetime import date, timedelta
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db.models import Model
from django.test import Client

from findings.models import DutyCheck, NoticeText
from findings.standards.loader import pack
from firm.models import Firm, Instrument, Licence, Membership, User
from firm.tenancy import bound
from reports.demo import firms, story
from reports.services import founding

pytestmark = pytest.mark.django_db

TODAY = date(2026, 11, 25)
OWNED: tuple[type[Model], ...] = (
    Membership,
    Licence,
    Instrument,
    DutyCheck,
    NoticeText,
)


def rows(slug: str) -> dict[str, list[dict[str, Any]]]:
    with bound(Firm.objects.get(slug=slug).pk):
        return {
            model.__name__: list(model.objects.order_by("pk").values())  # type: ignore[attr-defined]
            for model in OWNED
        }


def everything() -> dict[str, Any]:
    return {
        "firms": list(Firm.objects.order_by("slug").values()),
        "users": list(User.objects.order_by("email").values()),
        **{slug: rows(slug) for slug in ("tallowmere", "quarry-ford")},
    }


def test_a_second_load_changes_nothing(tmp_path: Path) -> None:
    first = firms.load(tmp_path, TODAY)
    before = everything()

    again = firms.load(tmp_path, TODAY + timedelta(days=30))

    assert again == first
    assert everything() == before


def test_everybody_of_the_data_can_sign_in(tmp_path: Path, settings: Any) -> None:
    settings.VAR_DIR = tmp_path
    said = StringIO()

    call_command("load_demo", stdout=said)

    word = said.getvalue().splitlines()[0].rpartition(" ")[2]
    assert len(word) >= 15
    for person in (*story.firm()["people"], *story.neighbours()["people"]):
        assert person["email"] in said.getvalue()
        assert Client().login(username=person["email"], password=word)


def test_what_the_firm_checked_is_all_that_rests_on_memory(tmp_path: Path) -> None:
    firms.load(tmp_path, TODAY)

    found = rows("tallowmere")

    checked = {row["what"] for row in found["DutyCheck"]}
    assert checked == {
        *story.firm()["ticked_rules"]["rules"],
        *pack("NC").from_memory(),
        "NC:v1",  # the standard as a whole, as it stands in that version
    }
    assert {row["slot"] for row in found["NoticeText"]} == {
        slot.id for slot in pack("NC").notices
    }
    assert all("Demonstration" in row["text"] for row in found["NoticeText"])


def test_the_neighbours_have_people_and_see_nobody_else(tmp_path: Path) -> None:
    firms.load(tmp_path, TODAY)

    names = {row["name"] for row in rows("quarry-ford")["Membership"]}

    assert names == {person["name"] for person in story.neighbours()["people"]}


def test_a_licence_that_ran_out_is_renewed(tmp_path: Path) -> None:
    firms.load(tmp_path, TODAY)
    late = TODAY + timedelta(days=400)

    firms.load(tmp_path, late)

    assert all(row["expires_on"] > late for row in rows("tallowmere")["Licence"])


def test_a_lost_password_is_made_anew(tmp_path: Path) -> None:
    firms.load(tmp_path, TODAY)
    (tmp_path / "demo-password").unlink()

    firms.load(tmp_path, TODAY)

    word = (tmp_path / "demo-password").read_text(encoding="utf-8").strip()
    assert Client().login(username="ines@tallowmere.example.com", password=word)


def test_the_password_is_for_its_owner_only(tmp_path: Path) -> None:
    firms.load(tmp_path, TODAY)

    assert (tmp_path / "demo-password").stat().st_mode & 0o077 == 0


def test_a_second_person_with_the_address_is_not_made(tmp_path: Path) -> None:
    firms.load(tmp_path, TODAY)

    founding.found(
        story.neighbours(), password="another long password", today=TODAY, notice=""
    )

    assert User.objects.filter(email__iexact="bo@quarryford.example.com").count() == 1
