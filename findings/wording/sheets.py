"""Reads CSV and spreadsheets as cells, and writes them so that no cell is a formula."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from openpyxl import Workbook, load_workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.utils.exceptions import InvalidFileException

MOST_BYTES: Final = 8 * 1024**2
MOST_UNPACKED: Final = 60 * 1024**2
MOST_ROWS: Final = 5000
MOST_COLUMNS: Final = 60
MOST_CELL: Final = 8000
# What a spreadsheet program takes for the beginning of a formula.
FORMULA: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
MARK: Final = "'"
BROKEN = (zipfile.BadZipFile, InvalidFileException, KeyError, ValueError, TypeError)
BROKEN_TOO = (OSError, EOFError, IndexError, AttributeError, SyntaxError)


class UnreadableSheet(ValueError):
    """A file that cannot be read as a table; says what to do."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A header and rows of cells, each with its row number in the file."""

    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]


def read(name: str, data: bytes) -> Sheet:
    """Read a file by what it holds. Raises UnreadableSheet."""
    if len(data) > MOST_BYTES:
        raise UnreadableSheet("The file is larger than 8 MB. Split it in two.")
    if not data.strip():
        raise UnreadableSheet("The file is empty.")
    if data.startswith(b"PK"):
        return _table(_xlsx_rows(data))
    if name.lower().endswith((".xls", ".ods")) or data.startswith(b"\xd0\xcf\x11"):
        raise UnreadableSheet("Save it as .xlsx or .csv, then bring that.")
    return _table(_csv_rows(data))


def _table(rows: Iterable[Sequence[str]]) -> Sheet:
    """Take the first row that holds something as the header."""
    header: tuple[str, ...] = ()
    found: list[tuple[int, tuple[str, ...]]] = []
    for number, cells in enumerate(rows, 1):
        if len(found) > MOST_ROWS:
            raise UnreadableSheet(
                f"More than {MOST_ROWS} rows. Split the file, then bring each part."
            )
        plain = tuple(cell.strip() for cell in cells)
        if not any(plain):
            continue
        _check_cells(number, plain)
        if not header:
            header = plain
        else:
            found.append((number, plain))
    if not found:
        raise UnreadableSheet("It has a first row at most: bring a header and rows.")
    if len(found) > MOST_ROWS:
        raise UnreadableSheet(f"More than {MOST_ROWS} rows. Split the file.")
    return _squared(header, found)


def _squared(
    header: tuple[str, ...], rows: Sequence[tuple[int, tuple[str, ...]]]
) -> Sheet:
    """Give every row as many cells as the widest; a column without a name has one."""
    wide = max(len(header), *(len(cells) for _, cells in rows))
    named = [
        name or f"Column {place}"
        for place, name in enumerate([*header, *[""] * (wide - len(header))], 1)
    ]
    return Sheet(
        tuple(named),
        tuple((n, (*cells, *[""] * (wide - len(cells)))) for n, cells in rows),
    )


def _check_cells(number: int, cells: Sequence[str]) -> None:
    if len(cells) > MOST_COLUMNS:
        raise UnreadableSheet(f"Row {number} has more than {MOST_COLUMNS} columns.")
    for cell in cells:
        if len(cell) > MOST_CELL:
            raise UnreadableSheet(
                f"Row {number} has a cell of {len(cell)} characters; {MOST_CELL} fit."
            )
        if "\x00" in cell:
            raise UnreadableSheet(f"Row {number} holds what is no text.")


def _csv_rows(data: bytes) -> Iterator[list[str]]:
    text = _decoded(data)
    first = text.split("\n", 1)[0]
    mark = max(",;\t", key=first.count)
    csv.field_size_limit(MOST_BYTES)
    try:
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=mark):
            yield [_unmarked(cell) for cell in row]
    except csv.Error as error:
        raise UnreadableSheet(
            f"The CSV breaks off: {error}. Save it anew from the spreadsheet."
        ) from error


def _decoded(data: bytes) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # What spreadsheet programs of this country write when not told otherwise.
        return data.decode("cp1252", errors="replace")


def _xlsx_rows(data: bytes) -> Iterator[list[str]]:
    try:
        _check_archive(data)
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        sheet = book.worksheets[0]
        # The size a file claims is not to be believed: rows are counted as they come.
        sheet.reset_dimensions()
        for row in sheet.iter_rows(values_only=True, max_col=MOST_COLUMNS + 1):
            cells = [_cell(value) for value in row]
            while cells and not cells[-1]:
                cells.pop()
            yield cells
    except (*BROKEN, *BROKEN_TOO) as error:
        if isinstance(error, UnreadableSheet):
            raise
        raise UnreadableSheet(
            "This is no spreadsheet that can be read. Save it as .xlsx or .csv anew."
        ) from error


def _check_archive(data: bytes) -> None:
    """Refuse what swells, and markup that defines entities, before it is parsed."""
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        parts = packed.infolist()
        if sum(part.file_size for part in parts) > MOST_UNPACKED:
            raise UnreadableSheet("The spreadsheet unpacks to more than 60 MB.")
        for part in parts:
            if part.filename.endswith((".xml", ".rels")):
                with packed.open(part) as opened:
                    head = opened.read(4096).upper()
                if b"<!DOCTYPE" in head or b"<!ENTITY" in head:
                    raise UnreadableSheet("The spreadsheet holds what is not a table.")


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return _unmarked(str(value))


def neutral(cell: str) -> str:
    """Return a cell that no spreadsheet program runs; reading it gives it back."""
    return f"{MARK}{cell}" if cell.lstrip(MARK).startswith(FORMULA) else cell


def _unmarked(cell: str) -> str:
    plain = cell.lstrip(MARK)
    return cell[1:] if plain != cell and plain.startswith(FORMULA) else cell


def as_csv(header: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """Write CSV with a mark that tells spreadsheet programs its letters."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    for row in (header, *rows):
        writer.writerow([neutral(cell) for cell in row])
    return out.getvalue().encode("utf-8-sig")


def as_xlsx(header: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """Write a spreadsheet of text alone."""
    book = Workbook(write_only=False)
    sheet = book.active
    assert sheet is not None  # noqa: S101  # for mypy: a new book has one
    sheet.title = "Passages"
    for number, row in enumerate((header, *rows), 1):
        for place, cell in enumerate(row, 1):
            plain = ILLEGAL_CHARACTERS_RE.sub("", neutral(cell))
            made = sheet.cell(number, place)
            made.value = plain
            made.data_type = "s"  # text, whatever it begins with
    sheet.freeze_panes = "A2"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
