"""Decodes one picture and makes the report's copies; runs in the child only."""

import re
import warnings
from io import BytesIO
from typing import Any

from PIL import Image, ImageCms, MpoImagePlugin, UnidentifiedImageError

from findings.imaging import overlay
from findings.imaging.lettering import Fonts
from findings.imaging.limits import (
    LARGE_PX,
    LARGE_QUALITY,
    MAX_PIXELS,
    PRINT_PX,
    PRINT_QUALITY,
    THUMB_PX,
    THUMB_QUALITY,
)
from findings.imaging.marks import Mark
from findings.imaging.refused import Refused
from findings.imaging.sniff import Kind

# Every decoder is loaded here, before the child gives up opening files. A JPEG
# with several frames (two-lens phones) is opened by the MPO reader.
FORMATS = {"jpeg": ("JPEG",), "png": ("PNG",), "webp": ("WEBP",), "heic": ("HEIF",)}
LOADED = (MpoImagePlugin,)
_SRGB = ImageCms.createProfile("sRGB")

_ORIENTATION, _MAKER, _MODEL, _EXIF, _GPS = 0x0112, 0x010F, 0x0110, 0x8769, 0x8825
_TAKEN, _OFFSET = 0x9003, 0x9011
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_SIDEWAYS = 5  # orientations from here on swap width and height

Copy = tuple[str, bytes, int, int]


def prepare() -> None:
    """Set Pillow's limits and load its decoders once, before forking."""
    Image.MAX_IMAGE_PIXELS = MAX_PIXELS
    warnings.simplefilter("error", Image.DecompressionBombWarning)
    Image.init()


def copies(original: bytes, kind: Kind, marks: list[Mark], fonts: Fonts) -> list[Copy]:
    """Return the large, print and thumb copies as JPEG without any metadata."""
    with _opened(original, kind) as source:
        full = max(source.size)
        large = _upright(_shrunk(source), _orientation(source))
    if marks:
        overlay.draw(large, marks, full / max(large.size), fonts)
    middle = _resized(large, PRINT_PX)
    made = (
        ("large", large, LARGE_QUALITY),
        ("print", middle, PRINT_QUALITY),
        ("thumb", _resized(middle, THUMB_PX), THUMB_QUALITY),
    )
    return [(name, _jpeg(im, quality), *im.size) for name, im, quality in made]


def facts(original: bytes, kind: Kind) -> dict[str, Any]:
    """Read size and capture data from the header; no pixel is decoded."""
    with _opened(original, kind) as source:
        exif = _exif(source)
        orientation = _orientation(source)
        width, height = source.size
    if orientation >= _SIDEWAYS:
        width, height = height, width
    shot = exif.get_ifd(_EXIF)
    camera = " ".join(
        dict.fromkeys(
            part for tag in (_MAKER, _MODEL) if (part := _word(exif.get(tag)))
        )
    )
    return {
        "width": width,
        "height": height,
        "orientation": orientation,
        "taken_at": _moment(_word(shot.get(_TAKEN)), _word(shot.get(_OFFSET))),
        "has_gps": bool(exif.get_ifd(_GPS)),
        "camera": camera[:80],
    }


def _opened(original: bytes, kind: Kind) -> Image.Image:
    try:
        return Image.open(BytesIO(original), formats=FORMATS[kind])
    except (Image.DecompressionBombWarning, Image.DecompressionBombError):
        raise Refused(
            f"The picture has more than {MAX_PIXELS // 1_000_000} million pixels."
        ) from None
    except UnidentifiedImageError:
        raise Refused(
            "The file is damaged: it does not hold the picture it names."
        ) from None


def _shrunk(source: Image.Image) -> Image.Image:
    """Decode at about the size wanted and bring the colours to sRGB."""
    icc = source.info.get("icc_profile")
    # libjpeg decodes at 1/2, 1/4 or 1/8 for a fraction of the cost.
    source.draft("RGB", _fitted(source.size, LARGE_PX))
    source.load()
    if (
        source.mode in {"P", "1", "PA", "I;16", "I", "F"}
        or "transparency" in source.info
    ):
        plain: Image.Image = _plain(source)
    else:
        plain = source
    small = _resized(plain, LARGE_PX)
    if small.mode in {"RGBA", "LA", "RGBa", "La"}:
        small = _on_white(small)
    return _in_srgb(small, icc)


def _plain(source: Image.Image) -> Image.Image:
    """Bring indexed, deep and keyed pictures to a mode that can be resized."""
    if source.mode.startswith("I") or source.mode == "F":
        return source.convert("I").point(lambda value: value / 256).convert("L")
    return source.convert("RGBA" if "transparency" in source.info else "RGB")


def _on_white(picture: Image.Image) -> Image.Image:
    ground = Image.new("RGB", picture.size, (255, 255, 255))
    whole = picture.convert("RGBA")
    ground.paste(whole, mask=whole.getchannel("A"))
    return ground


def _in_srgb(picture: Image.Image, icc: Any) -> Image.Image:
    if isinstance(icc, bytes) and icc and picture.mode in {"RGB", "CMYK", "L"}:
        try:
            profile = ImageCms.ImageCmsProfile(BytesIO(icc))
            turned = ImageCms.profileToProfile(
                picture, profile, _SRGB, outputMode="RGB"
            )
        except (ImageCms.PyCMSError, OSError, ValueError):
            turned = None  # a broken or mismatched profile: take the values as sRGB
        if turned is not None:
            return turned
    return picture if picture.mode == "RGB" else picture.convert("RGB")


def _upright(picture: Image.Image, orientation: int) -> Image.Image:
    turn = _TURNS.get(orientation)
    whole = picture if turn is None else picture.transpose(turn)
    # Only the pixels go on: comments, profiles and EXIF hang on the old object.
    return Image.frombytes("RGB", whole.size, whole.tobytes())


def _fitted(size: tuple[int, int], edge: int) -> tuple[int, int]:
    long_edge = max(size)
    if long_edge <= edge:
        return size
    return (
        max(1, round(size[0] * edge / long_edge)),
        max(1, round(size[1] * edge / long_edge)),
    )


def _resized(picture: Image.Image, edge: int) -> Image.Image:
    size = _fitted(picture.size, edge)
    if size == picture.size:
        return picture
    return picture.resize(size, Image.Resampling.HAMMING, reducing_gap=2.0)


def _jpeg(picture: Image.Image, quality: int) -> bytes:
    held = BytesIO()
    # Thin strokes of a mark would lose their colour in a small 4:2:0 picture.
    halved = "4:2:0" if max(picture.size) > PRINT_PX else "4:4:4"
    picture.save(held, "JPEG", quality=quality, subsampling=halved)
    return held.getvalue()


def _exif(source: Image.Image) -> Image.Exif:
    """Read EXIF alone: browsers ignore an orientation given in XMP, so do we."""
    exif = Image.Exif()
    block = source.info.get("exif")
    if isinstance(block, bytes):
        exif.load(block)
    return exif


def _orientation(source: Image.Image) -> int:
    try:
        value = _exif(source).get(_ORIENTATION, 1)
    except (OSError, SyntaxError, ValueError, TypeError, KeyError):
        return 1  # capture data too broken to read: the pixels still count
    return value if type(value) is int and value in {1, *_TURNS} else 1


def _word(value: Any) -> str:
    if isinstance(value, bytes):
        value = value.decode("latin-1")
    return "".join(c for c in str(value or "") if c.isprintable()).strip()


def _moment(taken: str, offset: str) -> str | None:
    found = re.fullmatch(r"(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)", taken)
    if found is None or found[1] == "0000":
        return None
    zone = offset if re.fullmatch(r"[+-]\d\d:\d\d", offset) else ""
    return f"{found[1]}-{found[2]}-{found[3]}T{found[4]}{zone}"
