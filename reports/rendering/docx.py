"""A cut as a DOCX: headings, paragraphs, pictures; written by the standard's parts."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Mapping
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from reports.rendering import cut as cuts
from reports.rendering.book import Book, Entry, Picture
from reports.rendering.cut import Cut
from reports.rendering.schema import Photo

# English Metric Units: 914,400 to the inch.
WIDE: Final = 914_400 * 3
MOMENT: Final = (1980, 1, 1, 0, 0, 0)
W: Final = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"
R: Final = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
P: Final = "http://schemas.openxmlformats.org/package/2006"
DRAWING: Final = "http://schemas.openxmlformats.org/drawingml/2006"
TYPES: Final = (
    f'<Types xmlns="{P}/content-types">'
    '<Default Extension="rels" ContentType='
    '"application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="xml" ContentType="application/xml"/>'
    '<Default Extension="jpg" ContentType="image/jpeg"/>'
    + "".join(
        f'<Override PartName="/word/{part}.xml" ContentType="application/vnd.'
        f'openxmlformats-officedocument.wordprocessingml.{kind}+xml"/>'
        for part, kind in (
            ("document", "document.main"),
            ("styles", "styles"),
            ("header1", "header"),
        )
    )
    + "</Types>"
)


def build(snapshot: bytes, assets: Mapping[str, bytes], cut: Cut) -> bytes:
    """Return the file; the same bytes for the same cut. Raises BadSnapshot."""
    book = cuts.open_cut(snapshot, cut, _digest, "print")
    shown = {p.address: assets[p.address] for p in _pictures(book, cut)}
    names = {digest: f"rPic{n}" for n, digest in enumerate(shown, 1)}
    parts: dict[str, bytes] = {
        "[Content_Types].xml": _xml(TYPES),
        "_rels/.rels": _xml(
            _relations(("rDoc", "officeDocument", "word/document.xml"))
        ),
        "word/document.xml": _xml(_document(book, cut, names)),
        "word/styles.xml": _xml(_styles()),
        "word/header1.xml": _xml(_header(book)),
        "word/_rels/document.xml.rels": _xml(
            _relations(
                ("rStyles", "styles", "styles.xml"),
                ("rHead", "header", "header1.xml"),
                *((names[d], "image", f"media/{names[d]}.jpg") for d in shown),
            )
        ),
    }
    parts |= {f"word/media/{names[d]}.jpg": data for d, data in shown.items()}
    return _zipped(parts)


def _zipped(parts: Mapping[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        for name, data in parts.items():
            file.writestr(zipfile.ZipInfo(name, MOMENT), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def _xml(text: str) -> bytes:
    return f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n{text}'.encode()


def _relations(*rows: tuple[str, str, str]) -> str:
    return (
        f'<Relationships xmlns="{P}/relationships">'
        + "".join(
            f'<Relationship Id="{name}" Type="{R}/{kind}" Target="{target}"/>'
            for name, kind, target in rows
        )
        + "</Relationships>"
    )


def _document(book: Book, cut: Cut, names: Mapping[str, str]) -> str:
    body = "".join(_body(book, cut, names))
    page = (
        '<w:sectPr><w:headerReference w:type="default" r:id="rHead"/>'
        '<w:pgSz w:w="12240" w:h="15840"/><w:pgMar w:top="1440" w:right="1224" '
        'w:bottom="1296" w:left="1224" w:header="720" w:footer="720" w:gutter="0"/>'
        "</w:sectPr>"
    )
    return (
        f'<w:document xmlns:w="{W}" xmlns:r="{R}" '
        f'xmlns:wp="{DRAWING}/wordprocessingDrawing" xmlns:a="{DRAWING}/main" '
        f'xmlns:pic="{DRAWING}/picture"><w:body>{body}{page}</w:body></w:document>'
    )


def _body(book: Book, cut: Cut, names: Mapping[str, str]) -> Iterator[str]:
    values = cuts.values(book, cut)
    s = book.snapshot
    yield _p(cut.title, "Title")
    yield _p(book.address_line, "Heading1")
    yield _p(f"{values['part_of']}. It does not stand for the whole report.")
    yield _p(f"Visited {s.visit.date_local}. Looked at by {values['licences']}.")
    if cut.written_by:
        yield _p(f"Written by {cut.written_by}, in their own words.")
    yield _p(cut.lead)
    for number, row in enumerate(values["rows"], 1):
        if row.words:
            yield _p(f"{number}. {row.words}", "Heading2")
        if row.entry is not None:
            yield from _entry(row.entry, names)
    yield from _limits(book, cut)


def _entry(entry: Entry, names: Mapping[str, str]) -> Iterator[str]:
    ref = entry.ref
    yield _p(f"Finding {ref.number}: {ref.item}, {ref.place}", "Heading3")
    yield _p(ref.sentence)
    for label, text in entry.parts:
        yield _p(f"{label}: {text}")
    for n, picture in enumerate(entry.pictures):
        yield _picture(picture, names[picture.address], 100 * int(ref.number) + n)
        yield _p(f"{picture.number}. {picture.caption or picture.place}")


def _limits(book: Book, cut: Cut) -> Iterator[str]:
    if book.gaps:
        yield _p("What could not be seen", "Heading1")
    for gap in book.gaps:
        yield _p(f"{gap.text}. {gap.where} {gap.reason} {gap.remedy}")
    yield _p("Please keep in mind", "Heading1")
    for caution in book.snapshot.cautions:
        yield _p(caution)
    checked = f" Whether a newer issue replaces it: {cut.check_at}" * bool(cut.check_at)
    yield _p(f"Fingerprint of the report: {book.digest}.{checked}")


def _p(text: str, style: str = "Normal") -> str:
    lines = '</w:t><w:br/><w:t xml:space="preserve">'.join(
        escape(_sound(line)) for line in text.split("\n")
    )
    return (
        f'<w:p><w:pPr><w:pStyle w:val="{style}"/></w:pPr><w:r>'
        f'<w:t xml:space="preserve">{lines}</w:t></w:r></w:p>'
    )


def _sound(text: str) -> str:
    """Leave out what XML cannot hold."""
    return "".join(c for c in text if c in "\t\n" or ord(c) >= ord(" "))


def _picture(picture: Picture, name: str, number: int) -> str:
    width, height = int(picture.width), int(picture.height)
    cx = WIDE if width >= height else WIDE * width // height
    size = f'cx="{cx}" cy="{cx * height // width}"'
    alt = quoteattr(_sound(picture.alt))
    return (
        f"<w:p><w:r><w:drawing><wp:inline><wp:extent {size}/>"
        f'<wp:docPr id="{number}" name="{name}" descr={alt}/><a:graphic>'
        f'<a:graphicData uri="{DRAWING}/picture"><pic:pic><pic:nvPicPr>'
        f'<pic:cNvPr id="{number}" name="{name}" descr={alt}/><pic:cNvPicPr/>'
        f'</pic:nvPicPr><pic:blipFill><a:blip r:embed="{name}"/><a:stretch>'
        f"<a:fillRect/></a:stretch></pic:blipFill><pic:spPr><a:xfrm>"
        f'<a:off x="0" y="0"/><a:ext {size}/></a:xfrm><a:prstGeom prst="rect">'
        "<a:avLst/></a:prstGeom></pic:spPr></pic:pic></a:graphicData></a:graphic>"
        "</wp:inline></w:drawing></w:r></w:p>"
    )


def _header(book: Book) -> str:
    return (
        f'<w:hdr xmlns:w="{W}">'
        f"{_p(f'{book.address_line}. {cuts.part_of(book)}', 'Header')}</w:hdr>"
    )


def _styles() -> str:
    sizes = {"Title": 40, "Heading1": 30, "Heading2": 24, "Heading3": 22, "Header": 17}
    named = {"Heading1": "heading 1", "Heading2": "heading 2", "Heading3": "heading 3"}
    rows = "".join(
        f'<w:style w:type="paragraph" w:styleId="{key}"><w:name w:val='
        f'"{named.get(key, key.lower())}"/><w:basedOn w:val="Normal"/>'
        f"<w:pPr><w:keepNext/>"
        f'<w:spacing w:before="200" w:after="80"/></w:pPr><w:rPr>'
        f"{'' if key == 'Header' else '<w:b/>'}"
        f'<w:sz w:val="{size}"/></w:rPr></w:style>'
        for key, size in sizes.items()
    )
    return (
        f'<w:styles xmlns:w="{W}"><w:docDefaults><w:rPrDefault><w:rPr>'
        '<w:sz w:val="21"/><w:lang w:val="en-US"/></w:rPr></w:rPrDefault>'
        '</w:docDefaults><w:style w:type="paragraph" w:default="1" '
        'w:styleId="Normal"><w:name w:val="Normal"/><w:pPr><w:spacing w:after="100"/>'
        f"</w:pPr></w:style>{rows}</w:styles>"
    )


def _pictures(book: Book, cut: Cut) -> Iterator[Picture]:
    for row in cuts.values(book, cut)["rows"]:
        if row.entry is not None:
            yield from row.entry.pictures


def _digest(photo: Photo, size: str) -> str:
    return str(getattr(photo.renditions, size).sha256)
