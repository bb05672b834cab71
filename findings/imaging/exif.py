"""What a photo says of its own making; read in the decoding process as well."""

from dataclasses import dataclass

from findings.imaging.derive import asked, readable
from findings.imaging.sniff import Kind


@dataclass(frozen=True, slots=True)
class Capture:
    kind: Kind
    width: int  # of the upright picture
    height: int
    orientation: int  # 1..8 as EXIF 2.32 numbers them
    taken_at: str | None  # camera time as written, with an offset only if it had one
    has_gps: bool
    camera: str


def read(original: bytes, *, heic: bool = False) -> Capture:
    """Read a photo's header. Raises Refused as derive does."""
    kind = readable(original, heic=heic)
    head, _ = asked({"ask": "facts", "kind": kind}, original)
    return Capture(
        kind=kind,
        width=int(head["width"]),
        height=int(head["height"]),
        orientation=int(head["orientation"]),
        taken_at=head["taken_at"],
        has_gps=bool(head["has_gps"]),
        camera=str(head["camera"]),
    )
