"""Files of passages: read as cells, hostile or not, and written without a formula."""

from __future__ import annotations

import contextlib
import io
import zipfile

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from findings.wording import sheets
from findings.wording.sheets import Sheet, UnreadableSheet

HEADER = ("Title", "Seen")


def xlsx(*rows: tuple[object, ...]) -> bytes:
    book = Workbook()
    for row in rows:
        book.worksheets[0].append(list(row))
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize(
    "data",
    [
        b"Title,Seen\nLoose rail,It moves.\n",
        b"Title;Seen\r\nLoose rail;It moves.\r\n",
        b"Title\tSeen\nLoose rail\tIt moves.",
        "\ufeffTitle,Seen\nLoose rail,It moves.\n".encode(),
        "Title,Seen\nLoose rail,It moves.\n".encode("utf-16"),
        b'\n\n"Title","Seen"\n\n"Loose rail","It moves."\n',
        xlsx(HEADER, ("Loose rail", "It moves.")),
        xlsx((None, None), HEADER, (None, None), ("Loose rail", "It moves.")),
    ],
    ids=["comma", "semicolon", "tab", "bom", "utf-16", "gaps", "xlsx", "xlsx gaps"],
)
def test_a_table_is_read_however_it_was_saved(data: bytes) -> None:
    sheet = sheets.read("ours", data)

    assert sheet.header == HEADER
    assert [cells for _, cells in sheet.rows] == [("Loose rail", "It moves.")]


def test_rows_keep_the_number_that_the_person_sees() -> None:
    sheet = sheets.read("ours.csv", b"Title,Seen\n\na,b\n\nc,d\n")

    assert [number for number, _ in sheet.rows] == [3, 5]


def test_letters_of_an_older_program_and_lines_within_a_cell() -> None:
    sheet = sheets.read("ours.csv", 'Title,Seen\n"Fen’s","a\nb"\n'.encode("cp1252"))

    assert sheet.rows[0][1] == ("Fen’s", "a\nb")


def test_short_rows_and_columns_without_a_name_lose_nothing() -> None:
    sheet = sheets.read("ours.csv", b"Title,\na,b,c\nd\n")

    assert sheet.header == ("Title", "Column 2", "Column 3")
    assert [cells for _, cells in sheet.rows] == [("a", "b", "c"), ("d", "", "")]


def test_numbers_of_a_spreadsheet_read_as_they_are_shown() -> None:
    sheet = sheets.read("ours.xlsx", xlsx(HEADER, (14, 2.5), (True, 3.0)))

    assert [cells for _, cells in sheet.rows] == [("14", "2.5"), ("True", "3")]


def doctyped() -> bytes:
    made = io.BytesIO()
    old = zipfile.ZipFile(io.BytesIO(xlsx(HEADER, ("a", "b"))))
    with zipfile.ZipFile(made, "w") as new:
        for part in old.infolist():
            data = old.read(part)
            if part.filename == "xl/workbook.xml":
                data = b'<!DOCTYPE x [<!ENTITY a "b">]>' + data
            new.writestr(part.filename, data)
    return made.getvalue()


def swollen() -> bytes:
    made = io.BytesIO(xlsx(HEADER, ("a", "b")))
    with zipfile.ZipFile(made, "a", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/media/big.bin", b"0" * (sheets.MOST_UNPACKED + 1))
    return made.getvalue()


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("a.csv", b"", "is empty"),
        ("a.csv", b"  \n ", "is empty"),
        ("a.csv", b"Title,Seen\n", "header and rows"),
        ("a.csv", b"Title\n" + b"x\n" * 5001, "More than 5000 rows"),
        ("a.csv", b"Title\n" + b"x," * 61, "more than 60 columns"),
        ("a.csv", b"Title\n" + b"x" * 8001, "8001 characters"),
        ("a.csv", b"Title\na\x00b\n", "no text"),
        ("a.csv", b"x" * (8 * 1024**2 + 1), "larger than 8 MB"),
        ("a.xls", b"\xd0\xcf\x11\xe0 old", "Save it as .xlsx"),
        ("a.ods", b"mimetype", "Save it as .xlsx"),
        ("a.xlsx", b"PK\x03\x04 broken", "no spreadsheet that can be read"),
        ("a.xlsx", doctyped(), "what is not a table"),
        ("a.xlsx", swollen(), "more than 60 MB"),
    ],
)
def test_what_cannot_be_read_says_what_to_do(name: str, data: bytes, said: str) -> None:
    with pytest.raises(UnreadableSheet, match=said):
        sheets.read(name, data)


@given(st.binary(max_size=400))
def test_noise_is_read_or_refused_and_never_breaks(data: bytes) -> None:
    for start in (b"", b"PK\x03\x04"):
        with contextlib.suppress(UnreadableSheet):
            assert isinstance(sheets.read("a", start + data), Sheet)


@pytest.mark.parametrize(
    "cell", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "＝1", "=HYPERLINK(1)"]
)
def test_no_cell_begins_as_a_formula(cell: str) -> None:
    csv = sheets.as_csv(["x"], [[cell]]).decode("utf-8-sig")
    book = load_workbook(io.BytesIO(sheets.as_xlsx(["x"], [[cell]])))
    written = book.worksheets[0]["A2"]

    assert csv.split("\r\n", 1)[1].startswith("\"'")
    assert written.data_type == "s"
    assert str(written.value).startswith("'")


CELLS = st.text(
    st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=30
).map(str.strip)


@given(st.lists(st.tuples(CELLS, CELLS).filter(any), min_size=1, max_size=5))
def test_what_is_written_reads_back_letter_by_letter(
    rows: list[tuple[str, str]],
) -> None:
    for data in (sheets.as_csv(HEADER, rows), sheets.as_xlsx(HEADER, rows)):
        back = sheets.read("a", data)
        assert [cells for _, cells in back.rows] == rows
