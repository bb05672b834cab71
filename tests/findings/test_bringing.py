"""A firm's file of passages: explained, previewed, taken over whole or not at all."""

from __future__ import annotations

import io
import time
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from findings.models import PassageApproval, PassageImport, PassageVersion
from findings.selectors.bringing import exported, reading_of
from findings.selectors.shelf import shelf_of
from findings.services import bringing, library
from findings.wording import columns, sheets
from findings.wording.columns import COLUMNS, Choices
from findings.wording.passages import starter
from firm.errors import BadInput
from tests.support.cast import Cast, Person

pytestmark = pytest.mark.django_db

THEIRS = (
    "Section,Comment name,Comment,Why,Recommendation,Priority,Our code\n"
    "Roof,Missing tile,Tiles are gone.,Rain gets in.,Have a roofer fit them.,High,R1\n"
    "Plumbing,Slow drain,The sink drains slowly.,It can clog.,Have it cleared.,Low,P7\n"
    'Wiring,Loose box,"=HYPERLINK(""x"")",Heat.,Have it fixed.,High,E2\n'
)
GOOD = (
    'Title,System,What it does,"How soon, by level",Who puts it right,'
    '"What was seen, and where",Why it matters,What to do\n'
    "Missing tile,Roof,harming_building,First year,Roofer,Tiles are gone.,"
    "Rain gets in.,Have {trade} fit them.\n"
)


def at(name: str, *args: object) -> str:
    return reverse(name, args=["northside", *args])


def bring(by: Person, text: str = THEIRS) -> PassageImport:
    return bringing.bring(actor=by.actor, name="ours.csv", data=text.encode())


def explained(by: Person, row: PassageImport) -> PassageImport:
    """Say what the columns and words of THEIRS mean."""
    given = ("system", "title", "seen", "matters", "action", "consequence", "note")
    said = Choices(
        given,
        {
            "system": {"Wiring": "electrical"},
            "consequence": {"High": "could_hurt", "Low": "upkeep"},
        },
        {"timing": "first_year", "trade": "general"},
    )
    bringing.explain(actor=by.actor, brought=row, choices=said)
    row.refresh_from_db()
    return row


def test_columns_are_guessed_by_their_names_and_the_rest_is_kept() -> None:
    header = THEIRS.splitlines()[0].split(",")
    assert columns.guessed(header) == (
        "system",
        "note",
        "seen",
        "matters",
        "action",
        "consequence",
        "note",
    )
    assert columns.guessed(list(COLUMNS.values())) == tuple(COLUMNS)


def test_a_file_says_row_by_row_what_to_do_and_writes_nothing(cast: Cast) -> None:
    with cast.inside():
        row = bring(cast.owner)
        found = reading_of(row)
        said = {(one.row, one.column, one.said) for one in found.faults}

        with pytest.raises(bringing.UnableToTake, match="3 rows still have"):
            bringing.take(actor=cast.owner.actor, brought=row)

    assert (4, "System", "Say below what “Wiring” means.") in said
    assert (2, "What it does", "Say below what “High” means.") in said
    assert found.unknown["consequence"] == {"High": 2, "Low": 1}
    assert not PassageVersion.objects.exists()


def test_once_explained_every_row_is_taken_over_and_waits(cast: Cast) -> None:
    with cast.inside():
        row = explained(cast.owner, bring(cast.owner))
        assert bringing.take(actor=cast.owner.actor, brought=row) == (3, 0)
        made = {one.key: one for one in PassageVersion.objects.all()}

        assert shelf_of(cast.owner.actor) is starter()
        with pytest.raises(bringing.UnableToTake, match="settled"):
            bringing.take(actor=cast.owner.actor, brought=row)

    tile = made["own.missing_tile"]
    assert tile.content["seen"] == "{place}: Tiles are gone."
    assert tile.content["consequence"] == "could_hurt"
    assert tile.content["timing"] == "first_year"
    assert tile.note == "Our code: R1"
    assert tile.brought_id == row.pk
    assert made["own.loose_box"].content["system"] == "electrical"
    assert "=HYPERLINK" in made["own.loose_box"].content["seen"]


def test_one_bad_row_keeps_all_of_them_out(cast: Cast) -> None:
    bad = GOOD + "Odd,Roof,harming_building,First year,Roofer,[[half,b,c\n"
    with cast.inside():
        row = bring(cast.owner, bad)
        (fault,) = reading_of(row).faults
        with pytest.raises(bringing.UnableToTake):
            bringing.take(actor=cast.owner.actor, brought=row)

    assert (fault.row, fault.column) == (3, "What was seen, and where")
    assert "[[ ]]" in fault.said
    assert not PassageVersion.objects.exists()


def test_a_failure_in_the_middle_leaves_nothing_behind(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    with cast.inside():
        row = explained(cast.owner, bring(cast.owner))

    def broken(*_: Any, **__: Any) -> None:
        raise OSError("the disk is full")

    monkeypatch.setattr("firm.audit.record", broken)
    with pytest.raises(OSError, match="disk"), cast.inside():
        bringing.take(actor=cast.owner.actor, brought=row)
    row.refresh_from_db()

    assert row.state == PassageImport.State.WAITING
    assert not PassageVersion.objects.exists()


def test_the_same_file_again_writes_nothing_and_a_mended_one_only_its_rows(
    cast: Cast,
) -> None:
    with cast.inside():
        for _ in range(2):
            row = explained(cast.owner, bring(cast.owner))
            taken = bringing.take(actor=cast.owner.actor, brought=row)
        assert taken == (0, 3)
        mended = THEIRS.replace("It can clog.", "It can clog and smell.")
        row = explained(cast.owner, bring(cast.owner, mended))
        assert bringing.take(actor=cast.owner.actor, brought=row) == (1, 2)
    assert PassageVersion.objects.filter(key="own.slow_drain").count() == 2


def test_two_rows_of_one_title_are_two_passages_and_of_one_name_a_fault(
    cast: Cast,
) -> None:
    line = GOOD.splitlines()[1]
    with cast.inside():
        found = reading_of(bring(cast.owner, f"{GOOD}{line}\n"))
        keys = [passage.key for _, passage, _ in found.passages]
        header, row = GOOD.splitlines()
        named = f"Name,{header}\nown.tile,{row}\nown.tile,{row}\n"
        (fault,) = reading_of(bring(cast.owner, named)).faults

    assert keys == ["own.missing_tile", "own.missing_tile_2"]
    assert fault.said.startswith("Row 2 has the name own.tile already.")


def test_a_passage_without_a_part_is_taken_over_and_waits(cast: Cast) -> None:
    short = GOOD.replace("Rain gets in.", "")
    with cast.inside():
        row = bring(cast.owner, short)
        bringing.take(actor=cast.owner.actor, brought=row)
        assert library.approve_waiting(actor=cast.owner.actor) == (0, 1)
    page = cast.owner.client().get(at("passage-read", "own.missing_tile"))
    assert "Write why it matters before it is approved." in page.content.decode()


def test_two_columns_cannot_be_the_same(cast: Cast) -> None:
    with cast.inside():
        row = bring(cast.owner)
        twice = Choices(("seen", "seen", *["note"] * 5))
        with pytest.raises(BadInput, match="Two columns"):
            bringing.explain(actor=cast.owner.actor, brought=row, choices=twice)


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_goes_out_comes_in_again_as_it_stands(cast: Cast, form: str) -> None:
    with cast.inside():
        row = explained(cast.owner, bring(cast.owner))
        bringing.take(actor=cast.owner.actor, brought=row)
        data = exported(cast.owner.actor, form)
        row = bringing.bring(actor=cast.owner.actor, name=f"a.{form}", data=data)
        found = reading_of(row)
        by_key = {passage.key: passage for _, passage, _ in found.passages}
        back = bringing.take(actor=cast.owner.actor, brought=row)

    assert not found.faults
    for key, passage in starter().passages.items():
        for part in ("seen", "matters", "action", "when", "variants", "also"):
            assert getattr(by_key[key], part) == getattr(passage, part), (key, part)
    # The firm's own stand as they are; the starter's become the firm's first versions.
    assert back == (len(starter().passages), 3)


def test_an_export_holds_no_formula(cast: Cast) -> None:
    with cast.inside():
        row = explained(cast.owner, bring(cast.owner))
        bringing.take(actor=cast.owner.actor, brought=row)
        for form in ("csv", "xlsx"):
            cells = sheets.read("a", exported(cast.owner.actor, form)).rows
            assert any("=HYPERLINK" in cell for _, row in cells for cell in row)
        text = exported(cast.owner.actor, "csv").decode("utf-8-sig")
    assert not [
        cell
        for line in text.splitlines()
        for cell in line.split('","')
        if cell.strip('"').startswith(sheets.FORMULA)
    ]


def test_the_whole_way_through_the_pages(cast: Cast) -> None:
    client = cast.reviewer.client()
    file = SimpleUploadedFile("ours.csv", THEIRS.encode(), "text/csv")
    brought = client.post(at("passage-bring"), {"file": file}, follow=True)
    page, row = brought.content.decode(), PassageImport.objects.get()
    assert "Say below what “Wiring” means." in page
    assert "Take over all" not in page
    form = brought.context["form"]
    typed = {name: field.initial for name, field in form.fields.items()}
    for name, field in form.fields.items():
        typed[name] = {
            "“Wiring” under System, 1 rows": "electrical",
            "“High” under What it does, 2 rows": "could_hurt",
            "“Low” under What it does, 1 rows": "upkeep",
        }.get(str(field.label), typed[name])
    typed |= {"o_timing": "first_year", "o_trade": "general"}
    ready = client.post(at("import-read", row.pk), typed, follow=True)
    assert "Take over all 3" in ready.content.decode()
    mend = client.get(at("import-mend", row.pk)).content.decode("utf-8-sig")
    assert mend.startswith('"Section"')
    done = client.post(at("import-take", row.pk), follow=True).content.decode()
    assert "3 passages taken over; they wait for approval." in done
    client.post(at("passage-approve-waiting"))
    assert PassageApproval.objects.count() >= 2
    twice = client.post(at("import-leave", row.pk), follow=True).content.decode()
    assert "This file is settled: taken over." in twice


@pytest.mark.parametrize(
    ("data", "said"), [(b"", "is empty"), (b"PK\x03\x04x", "no spreadsheet")]
)
def test_a_file_that_cannot_be_read_says_so_on_the_page(
    cast: Cast, data: bytes, said: str
) -> None:
    file = SimpleUploadedFile("ours.xlsx", data)
    response = cast.owner.client().post(at("passage-bring"), {"file": file})

    assert response.status_code == 400
    assert said in response.content.decode()


def many(rows: int) -> bytes:
    header, line = GOOD.splitlines()
    lines = [line.replace("Missing tile", f"Missing tile {n}") for n in range(rows)]
    return "\n".join([header, *lines]).encode()


def test_fifteen_hundred_rows_are_shown_taken_and_approved(cast: Cast) -> None:
    began = time.monotonic()
    with cast.inside():
        row = bringing.bring(actor=cast.owner.actor, name="a.csv", data=many(1500))
        page = cast.owner.client().get(at("import-read", row.pk))
        assert "1500 rows: 1500 passages are ready" in page.content.decode()
        assert bringing.take(actor=cast.owner.actor, brought=row) == (1500, 0)
        assert library.approve_waiting(actor=cast.owner.actor) == (1500, 0)
        held = shelf_of(cast.owner.actor).passages
        assert len(held) == 1500 + len(starter().passages)
        listed = cast.owner.client().get(at("passage-list"), {"find": "missing tile"})
    assert listed.status_code == 200
    assert time.monotonic() - began < 60


def test_a_files_page_asks_as_often_for_many_rows_as_for_few(cast: Cast) -> None:
    def asked(rows: int) -> int:
        with cast.inside():
            row = bringing.bring(actor=cast.owner.actor, name="a.csv", data=many(rows))
        client = cast.owner.client()
        with CaptureQueriesContext(connection) as seen:
            assert client.get(at("import-read", row.pk)).status_code == 200
        return len(seen)

    assert asked(2) == asked(200)


def test_a_hostile_spreadsheet_of_claims_is_counted_by_its_rows(cast: Cast) -> None:
    data = sheets.as_xlsx(["Title", "System"], [["a", "Roof"]])
    with cast.inside():
        row = bringing.bring(actor=cast.owner.actor, name="a.xlsx", data=data)
    assert row.rows == [[2, ["a", "Roof"]]]
    assert io.BytesIO(data).read(2) == b"PK"
