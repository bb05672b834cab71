"""Draws marks into a picture; runs in the decoding child only."""

import math

from PIL import Image, ImageDraw

from findings.imaging import lettering
from findings.imaging.lettering import Fonts
from findings.imaging.limits import SCALE
from findings.imaging.marks import Mark

COLOURS = {
    "ink": (29, 33, 41),
    "red": (196, 40, 40),
    "yellow": (247, 190, 20),
    "blue": (28, 98, 190),
}
HALO = (255, 255, 255)
_SMOOTH = 3  # masks are drawn this much larger, then shrunk: smooth edges

Box = tuple[int, int, int, int]
Points = list[tuple[float, float]]


def draw(
    picture: Image.Image, marks: list[Mark], shrunk_by: float, fonts: Fonts
) -> None:
    """Burn marks into an upright RGB picture, covered places first."""
    for mark in marks:
        if mark.shape == "blur":
            _cover(picture, mark, shrunk_by)
    for mark in marks:
        if mark.shape != "blur":
            _stroke(picture, mark, fonts)


def _place(picture: Image.Image, mark: Mark) -> Points:
    width, height = picture.size
    return [(x * width / SCALE, y * height / SCALE) for x, y in mark.points]


def _cover(picture: Image.Image, mark: Mark, shrunk_by: float) -> None:
    """Replace a region by a soft wash mixed only from what lies around it.

    Nothing of the covered pixels enters the wash, so nothing can be computed
    back from it. The region grows by 16 pixels of the original (one JPEG block
    with halved colour) so that compression cannot have carried the inside out.
    """
    corners = _place(picture, mark)
    grow = math.ceil(16 / shrunk_by) + 2
    left, top, right, bottom = _bounds(corners, grow, picture.size)
    if right <= left or bottom <= top:
        return
    band = max(4, max(picture.size) // 100)
    sides = [
        _mean(picture, (left, top - band, right, top)),
        _mean(picture, (left - band, top, left, bottom)),
        _mean(picture, (right, top, right + band, bottom)),
        _mean(picture, (left, bottom, right, bottom + band)),
    ]
    known = [side for side in sides if side is not None]
    middle = _blend(known) if known else (128, 128, 128)
    above, before, after, below = (side or middle for side in sides)
    wash = Image.new("RGB", (3, 3), middle)
    wash.putdata(
        [
            _blend([above, before]), above, _blend([above, after]),
            before, middle, after,
            _blend([below, before]), below, _blend([below, after]),
        ]
    )  # fmt: skip
    size = (right - left, bottom - top)
    picture.paste(wash.resize(size, Image.Resampling.BICUBIC), (left, top))
    edge = ImageDraw.Draw(picture)
    edge.rectangle((left, top, right - 1, bottom - 1), outline=HALO, width=2)


def _mean(picture: Image.Image, box: Box) -> tuple[int, int, int] | None:
    width, height = picture.size
    left, top = max(0, box[0]), max(0, box[1])
    right, bottom = min(width, box[2]), min(height, box[3])
    if right <= left or bottom <= top:
        return None
    pixel = picture.crop((left, top, right, bottom)).resize(
        (1, 1), Image.Resampling.BOX
    )
    red, green, blue = pixel.tobytes()
    return red, green, blue


def _blend(colours: list[tuple[int, int, int]]) -> tuple[int, int, int]:
    red, green, blue = (
        sum(part) // len(colours) for part in zip(*colours, strict=True)
    )
    return red, green, blue


def _bounds(points: Points, grow: float, size: tuple[int, int]) -> Box:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (
        max(0, math.floor(min(xs) - grow)),
        max(0, math.floor(min(ys) - grow)),
        min(size[0], math.ceil(max(xs) + grow)),
        min(size[1], math.ceil(max(ys) + grow)),
    )


def _stroke(picture: Image.Image, mark: Mark, fonts: Fonts) -> None:
    long_edge = max(picture.size)
    line, halo = max(2.0, long_edge / 175), max(1.5, long_edge / 400)
    points = _place(picture, mark)
    if mark.shape == "text":
        _text(picture, mark, points[0], halo, fonts)
        return
    box = _bounds(points, line * 8 + halo + 2, picture.size)
    for width, colour in ((line + 2 * halo, HALO), (line, COLOURS[mark.colour])):
        mask = _mask(mark.shape, points, box, width, line)
        picture.paste(colour, box, mask)


def _mask(
    shape: str, points: Points, box: Box, width: float, line: float
) -> Image.Image:
    size = (box[2] - box[0], box[3] - box[1])
    mask = Image.new("L", (size[0] * _SMOOTH, size[1] * _SMOOTH))
    pen = ImageDraw.Draw(mask)
    at = [((x - box[0]) * _SMOOTH, (y - box[1]) * _SMOOTH) for x, y in points]
    thick = width * _SMOOTH
    if shape == "arrow":
        _arrow(pen, at, thick, line * _SMOOTH)
    elif shape == "freehand":
        _path(pen, at, thick)
    elif shape == "box":
        (left, top), (right, bottom) = _ordered(at)
        corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
        _path(pen, [*corners, corners[0]], thick)
    else:
        _ring(pen, at, thick)
    return mask.resize(size, Image.Resampling.BOX)


def _ordered(at: Points) -> Points:
    xs, ys = sorted(x for x, _ in at), sorted(y for _, y in at)
    return [(xs[0], ys[0]), (xs[-1], ys[-1])]


def _path(pen: ImageDraw.ImageDraw, at: Points, thick: float) -> None:
    pen.line(at, fill=255, width=round(thick))
    half = thick / 2
    for x, y in at:  # round joints and ends
        pen.ellipse((x - half, y - half, x + half, y + half), fill=255)


def _ring(pen: ImageDraw.ImageDraw, at: Points, thick: float) -> None:
    (left, top), (right, bottom) = _ordered(at)
    half = thick / 2
    outer = (left - half, top - half, right + half, bottom + half)
    pen.ellipse(outer, outline=255, width=round(thick))


def _arrow(pen: ImageDraw.ImageDraw, at: Points, thick: float, line: float) -> None:
    (x0, y0), (x1, y1) = at
    length = math.hypot(x1 - x0, y1 - y0) or 1.0
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    spread = (thick - line) / 2  # how far the halo reaches past the arrow itself
    head = min(line * 5.5, length * 0.8)
    neck = (x1 - ux * head * 0.8, y1 - uy * head * 0.8)
    _path(pen, [(x0, y0), neck], thick)
    tip = (x1 + ux * spread * 2, y1 + uy * spread * 2)
    back = (x1 - ux * (head + spread), y1 - uy * (head + spread))
    side = head * 0.5 + spread * 1.6
    pen.polygon(
        [
            tip,
            (back[0] - uy * side, back[1] + ux * side),
            (back[0] + uy * side, back[1] - ux * side),
        ],
        fill=255,
    )


def _text(
    picture: Image.Image,
    mark: Mark,
    at: tuple[float, float],
    halo: float,
    fonts: Fonts,
) -> None:
    size = max(11.0, max(picture.size) / 30)
    across, down = picture.size
    line = lettering.fitting(mark.text, fonts, size, round(halo * 1.6), across)
    x = max(0.0, min(at[0], across - line.width))
    y = max(0.0, min(at[1], down - line.height))
    line.draw(ImageDraw.Draw(picture), x, y, COLOURS[mark.colour], HALO)
