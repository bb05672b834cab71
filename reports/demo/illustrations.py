"""The demo's photos: drawings written as a phone would write its pictures."""

from datetime import datetime
from io import BytesIO

from PIL import Image

from reports.demo.drawing import (
    devices,
    outside,
    panels,
    plates,
    roof,
    rooms,
    spaces,
)
from reports.demo.drawing.sheet import DRAWINGS

SUBJECTS = (outside, roof, panels, devices, rooms, spaces, plates)
CAMERA = ("Larkfield", "Pocket 4")
QUALITY = 88

# A phone held another way stores turned pixels and says so (EXIF 2.32, 0x0112).
_STORED_AS = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}
# A place in the open ocean: no house stands here.
_NOWHERE = {1: "N", 2: (33.0, 0.0, 7.0), 3: "W", 4: (70.0, 0.0, 11.0)}


def names() -> list[str]:
    """Return the names of all drawings, by subject."""
    return list(DRAWINGS)


def jpeg(
    name: str,
    *,
    orientation: int = 1,
    gps: bool = False,
    taken_at: datetime | None = None,
    seed: int = 0,
) -> bytes:
    """Return a drawing as a camera's JPEG; the same call gives the same bytes."""
    picture = DRAWINGS[name](seed)
    turn = _STORED_AS[orientation]
    stored = picture if turn is None else picture.transpose(turn)
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = CAMERA
    exif[0x0112] = orientation
    if taken_at is not None:
        exif[0x8769] = {
            0x9003: taken_at.strftime("%Y:%m:%d %H:%M:%S"),
            0x9011: taken_at.strftime("%z")[:3] + ":" + taken_at.strftime("%z")[3:]
            if taken_at.tzinfo
            else "",
        }
    if gps:
        exif[0x8825] = dict(_NOWHERE)
    held = BytesIO()
    stored.save(held, "JPEG", quality=QUALITY, exif=exif)
    return held.getvalue()


def contact_sheet(columns: int = 6, across: int = 320) -> Image.Image:
    """Return all drawings side by side, small."""
    tall = across * 3 // 4
    lines = -(-len(DRAWINGS) // columns)
    sheet = Image.new("RGB", (columns * across, lines * tall), (252, 251, 247))
    for number, draw in enumerate(DRAWINGS.values()):
        small = draw().resize((across - 8, tall - 6), Image.Resampling.LANCZOS)
        at = (number % columns * across + 4, number // columns * tall + 3)
        sheet.paste(small, at)
    return sheet
