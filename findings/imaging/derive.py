"""From the untouched original to the copies that reports and pages show."""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from findings.imaging import pool
from findings.imaging.heic import allowed
from findings.imaging.marks import parse
from findings.imaging.refused import Refused
from findings.imaging.sniff import Kind, decodable_kind

__all__ = ["Derived", "Refused", "Rendition", "derive"]

_JPEG_START, _JPEG_END = b"\xff\xd8", b"\xff\xd9"


@dataclass(frozen=True, slots=True)
class Rendition:
    bytes: bytes
    width: int
    height: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Derived:
    large: Rendition  # up to 1600 px
    print: Rendition  # up to 640 px
    thumb: Rendition  # up to 320 px


def derive(
    original: bytes, marks: Sequence[Mapping[str, Any]] = (), *, heic: bool = False
) -> Derived:
    """Make upright sRGB JPEG copies with the marks drawn in and no metadata.

    The original is read, never changed. Raises Refused with a plain sentence for
    whatever cannot be decoded within the limits, and for marks that make no sense.
    """
    kind = readable(original, heic=heic)
    checked = [mark.as_dict() for mark in parse(marks)]
    head, body = asked({"ask": "copies", "kind": kind, "marks": checked}, original)
    copies: dict[str, Rendition] = {}
    at = 0
    for copy, size in zip(head["copies"], head["sizes"], strict=True):
        copies[copy["name"]] = _rendition(copy, body[at : at + size])
        at += size
    return Derived(**copies)


def readable(original: bytes, *, heic: bool) -> Kind:
    """Return the kind of a picture this installation may decode, or refuse it."""
    kind = decodable_kind(original)
    if kind == "heic" and not (heic and allowed()):
        raise Refused(
            "This is a HEIC picture; it is kept as it is, but cannot be shown here. "
            "Take it again as JPEG, or send a JPEG copy."
        )
    return kind


def asked(head: dict[str, Any], original: bytes) -> tuple[dict[str, Any], bytes]:
    """Ask the decoding process; its end is a refusal and never ours."""
    try:
        answer, body = pool.ask(head, original, heic=head["kind"] == "heic")
    except pool.Crashed:
        raise Refused(
            "The picture could not be read: it took too long or too much memory."
        ) from None
    if "refused" in answer:
        raise Refused(str(answer["refused"]))
    return answer, body


def _rendition(copy: Mapping[str, Any], blob: bytes) -> Rendition:
    if not (blob.startswith(_JPEG_START) and blob.endswith(_JPEG_END)):
        raise Refused("The picture could not be read.")
    digest = hashlib.sha256(blob).hexdigest()
    return Rendition(blob, int(copy["width"]), int(copy["height"]), digest)
