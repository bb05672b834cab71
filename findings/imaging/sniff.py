"""What a file is by its first bytes; names and claimed types are not believed."""

from typing import Literal

from findings.imaging.limits import MAX_BYTES
from findings.imaging.refused import Refused

Kind = Literal[
    "jpeg", "png", "webp", "heic", "avif", "gif", "tiff", "pdf", "svg", "zip", "other"
]

MEDIA = {
    "jpeg": "image/jpeg",
    "png": "image/png",
    "webp": "image/webp",
    "heic": "image/heic",
}

_STARTS: tuple[tuple[bytes, Kind], ...] = (
    (b"\xff\xd8\xff", "jpeg"),
    (b"\x89PNG\r\n\x1a\n", "png"),
    (b"GIF87a", "gif"),
    (b"GIF89a", "gif"),
    (b"II*\x00", "tiff"),
    (b"MM\x00*", "tiff"),
    (b"%PDF-", "pdf"),
    (b"PK\x03\x04", "zip"),
)
# Brands of ISO base media files (ISO/IEC 14496-12 `ftyp` box).
_HEIC_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"}
_AVIF_BRANDS = {b"avif", b"avis"}

_NAMES: dict[Kind, str] = {
    "avif": "an AVIF picture",
    "gif": "a GIF picture",
    "tiff": "a TIFF picture",
    "pdf": "a PDF document",
    "svg": "an SVG drawing",
    "zip": "a ZIP archive",
}


def kind_of(data: bytes) -> Kind:
    """Name the kind of file, judged only by how its bytes begin."""
    for start, kind in _STARTS:
        if data.startswith(start):
            return kind
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "webp"
    if data[4:8] == b"ftyp":
        return _media_kind(data)
    head = data[:1024].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if head.startswith(b"<") and b"<svg" in head:
        return "svg"
    return "other"


def decodable_kind(data: bytes) -> Kind:
    """Return the kind of a picture worth handing to a decoder, or refuse it."""
    if not data:
        raise Refused("The file is empty.")
    if len(data) > MAX_BYTES:
        raise Refused(
            f"The file is larger than {MAX_BYTES // (1024 * 1024)} MiB, the most "
            "one picture may have."
        )
    kind = kind_of(data)
    if kind in MEDIA:
        return kind
    name = _NAMES.get(kind)
    if name is None:
        raise Refused("This is not a picture of a kind that can be read.")
    raise Refused(f"This is {name}; only JPEG, PNG and WebP pictures are read.")


def _media_kind(data: bytes) -> Kind:
    size = int.from_bytes(data[:4], "big")
    box = data[8 : min(max(size, 12), 256)]
    # Bytes 4..8 of the box are a minor version, not a brand.
    brands = {box[:4], *(box[at : at + 4] for at in range(8, len(box), 4))}
    if brands & _AVIF_BRANDS:
        return "avif"
    return "heic" if brands & _HEIC_BRANDS else "other"
