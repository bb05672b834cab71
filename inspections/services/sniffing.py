"""Which kind of picture some bytes begin as; decoding them is another matter."""

from __future__ import annotations

from typing import Final

NEEDED: Final = 64

_HEIC_BRANDS: Final = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx")
_HEIF_BRANDS: Final = (b"mif1", b"msf1")


def media_of(start: bytes) -> str | None:
    """Return the media type by the first bytes; None for anything not taken."""
    if start.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if start.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if start[:4] == b"RIFF" and start[8:12] == b"WEBP":
        return "image/webp"
    return "image/heic" if _is_heic(start) else None


def _is_heic(start: bytes) -> bool:
    # ISO base media: a box of type ftyp names a brand, then the ones it agrees with.
    if start[4:8] != b"ftyp":
        return False
    major, agreed = start[8:12], start[16 : int.from_bytes(start[:4])]
    if major in _HEIC_BRANDS:
        return True
    return major in _HEIF_BRANDS and any(
        agreed[at : at + 4] in _HEIC_BRANDS for at in range(0, len(agreed), 4)
    )
