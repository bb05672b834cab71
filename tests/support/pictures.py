"""Pictures for tests, made byte by byte where an encoder would refuse to."""

import struct
import zlib
from io import BytesIO

from PIL import Image, ImageCms

Colour = tuple[int, int, int]

RED, GREEN, BLUE, WHITE = (220, 20, 20), (20, 160, 40), (20, 40, 200), (255, 255, 255)
CORNERS = (RED, GREEN, BLUE, WHITE)  # top left, top right, bottom left, bottom right

# How stored pixels must be turned so that a reader who follows the orientation
# number sees them upright (EXIF 2.32, tag 0x0112).
STORED_AS = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


def quarters(width: int = 800, height: int = 600) -> Image.Image:
    """Four plain quarters, so that any turn shows."""
    picture = Image.new("RGB", (width, height))
    for number, colour in enumerate(CORNERS):
        left, top = (number % 2) * width // 2, (number // 2) * height // 2
        picture.paste(colour, (left, top, left + width // 2, top + height // 2))
    return picture


def photo(
    picture: Image.Image,
    *,
    orientation: int = 1,
    gps: bool = False,
    comment: bytes = b"",
    xmp: bytes = b"",
    icc: bytes = b"",
) -> bytes:
    """A camera's JPEG whose upright look is `picture`."""
    turn = STORED_AS[orientation]
    stored = picture if turn is None else picture.transpose(turn)
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F], exif[0x0110] = "Lantern Works", "Field 3"
    exif[0x8769] = {0x9003: "2026:03:04 09:12:33", 0x9011: "-05:00"}
    if gps:
        exif[0x8825] = {1: "N", 2: (35.0, 30.0, 12.0), 3: "W", 4: (79.0, 10.0, 3.0)}
    held = BytesIO()
    stored.save(held, "JPEG", quality=95, exif=exif, comment=comment, xmp=xmp,
                icc_profile=icc or None)  # fmt: skip
    return held.getvalue()


def saved(picture: Image.Image, kind: str, **options: object) -> bytes:
    held = BytesIO()
    picture.save(held, kind, **options)
    return held.getvalue()


def opened(data: bytes) -> Image.Image:
    return Image.open(BytesIO(data))


def corners_of(data: bytes) -> list[Colour]:
    picture = opened(data).convert("RGB")
    width, height = picture.size
    spots = [(x, y) for y in (height // 4, height * 3 // 4)
             for x in (width // 4, width * 3 // 4)]  # fmt: skip
    return [picture.getpixel(spot) for spot in spots]  # type: ignore[misc]


def near(one: Colour, other: Colour, by: int = 12) -> bool:
    return all(abs(a - b) <= by for a, b in zip(one, other, strict=True))


def png_bomb(width: int, height: int) -> bytes:
    """A PNG of any size in a few kilobytes (1 bit a pixel, all zero)."""
    row = b"\x00" + b"\x00" * ((width + 7) // 8)
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(row) for _ in range(height)) + packer.flush()
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", packed), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + name + body
        + struct.pack(">I", zlib.crc32(name + body))
        for name, body in chunks
    )  # fmt: skip


def jpeg_claiming(width: int, height: int) -> bytes:
    """A small JPEG whose frame header names another size."""
    data = bytearray(saved(quarters(64, 64), "JPEG"))
    at = data.index(b"\xff\xc0")
    data[at + 5 : at + 9] = struct.pack(">HH", height, width)
    return bytes(data)


def swapped_profile() -> bytes:
    """An sRGB profile whose red and blue are exchanged: a wrong reader shows it."""
    profile = bytearray(
        ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    )
    red, blue = profile.index(b"rXYZ"), profile.index(b"bXYZ")
    profile[red : red + 4], profile[blue : blue + 4] = b"bXYZ", b"rXYZ"
    return bytes(profile)
