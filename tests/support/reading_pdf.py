"""Read a PDF back the way a person or a screen reader would."""

import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pikepdf
from pypdf import PdfReader


@dataclass(frozen=True)
class Mark:
    """One bookmark: its words and the page it opens, counted from 1."""

    words: str
    level: int
    page: int


def pages(data: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(data)).pages]


def words(data: bytes) -> str:
    return " ".join(" ".join(pages(data)).split())


def bookmarks(data: bytes) -> list[Mark]:
    reader = PdfReader(io.BytesIO(data))
    return list(_marks(reader, reader.outline, 1))


def _marks(reader: PdfReader, outline: list[Any], level: int) -> Iterator[Mark]:
    for one in outline:
        if isinstance(one, list):
            yield from _marks(reader, one, level + 1)
        else:
            page = reader.get_destination_page_number(one)
            yield Mark(one.title, level, (page or 0) + 1)


def tags(data: bytes) -> dict[str, int]:
    """Count the structure elements by their kind."""
    found: dict[str, int] = {}
    with pikepdf.open(io.BytesIO(data)) as pdf:
        for kind in _kinds(pdf):
            found[kind] = found.get(kind, 0) + 1
    return found


def _kinds(pdf: pikepdf.Pdf) -> Iterator[str]:
    for thing in pdf.objects:
        if (
            isinstance(thing, pikepdf.Dictionary)
            and thing.get("/Type") == "/StructElem"
        ):
            yield str(thing["/S"]).lstrip("/")


def figures_without_words(data: bytes) -> int:
    with pikepdf.open(io.BytesIO(data)) as pdf:
        return sum(
            thing.get("/S") == "/Figure" and not str(thing.get("/Alt", ""))
            for thing in pdf.objects
            if isinstance(thing, pikepdf.Dictionary)
        )


def pictures(data: bytes) -> set[bytes]:
    """Return every JPEG as it lies in the file."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        return {
            thing.read_raw_bytes()
            for thing in pdf.objects
            if isinstance(thing, pikepdf.Stream)
            and thing.get("/Filter") == "/DCTDecode"
        }


def links_to_nowhere(data: bytes) -> list[str]:
    reader = PdfReader(io.BytesIO(data))
    known = set(reader.named_destinations)
    missing = []
    for page in reader.pages:
        for note in page.get("/Annots", []):
            target = note.get_object().get("/Dest")
            if isinstance(target, str) and target not in known:
                missing.append(target)
    return missing
