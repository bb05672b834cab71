"""One illustration: a sheet of paper, a pen, and the strip that says what it is."""

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

from PIL import Image, ImageDraw, ImageFont

from reports.demo.drawing.palette import INK, PAPER, SOFT_INK, Colour

WIDTH, HEIGHT = 1600, 1200
STRIP = 84  # the caption strip below the picture
FLOOR_Y = HEIGHT - STRIP  # the picture's lower edge
_FINE = 2  # drawn this much larger, then shrunk: smooth edges

Point = tuple[float, float]


class Sheet:
    """Draws in a frame of 1600 by 1116 units; y runs down."""

    def __init__(self, name: str, seed: int, ground: Colour) -> None:
        self.chance = random.Random(f"{name}:{seed}")  # noqa: S311
        self._image = Image.new("RGB", (WIDTH * _FINE, HEIGHT * _FINE), ground)
        self._pen = ImageDraw.Draw(self._image)

    def rect(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        fill: Colour | None,
        *,
        line: Colour | None = INK,
        width: float = 4,
        round_by: float = 0,
    ) -> None:
        box = (x * _FINE, y * _FINE, (x + w) * _FINE, (y + h) * _FINE)
        thick = round(width * _FINE)
        self._pen.rounded_rectangle(box, round_by * _FINE, fill, line, thick)

    def poly(
        self,
        points: Sequence[Point],
        fill: Colour | None,
        *,
        line: Colour | None = INK,
        width: float = 4,
    ) -> None:
        if fill is not None:
            self._pen.polygon(self._scaled(points), fill)
        if line is not None:
            self.path([*points, points[0], points[1]], line, width)

    def path(
        self, points: Sequence[Point], colour: Colour = INK, width: float = 4
    ) -> None:
        scaled = self._scaled(points)
        thick = max(1, round(width * _FINE))
        self._pen.line(scaled, colour, thick, joint="curve")
        half = thick / 2 - 0.5
        if half >= 1:
            for x, y in (scaled[0], scaled[-1]):
                self._pen.ellipse((x - half, y - half, x + half, y + half), colour)

    def curve(
        self, points: Sequence[Point], colour: Colour = INK, width: float = 4
    ) -> None:
        """Draw a smooth line through the points (Catmull-Rom)."""
        held = [points[0], *points, points[-1]]
        smooth: list[Point] = []
        for a, b, c, d in zip(held, held[1:], held[2:], held[3:], strict=False):
            smooth += [_between(a, b, c, d, step / 14) for step in range(14)]
        self.path([*smooth, points[-1]], colour, width)

    def cable(
        self,
        points: Sequence[Point],
        colour: Colour,
        width: float,
        *,
        edge: Colour = INK,
    ) -> None:
        """Draw a curved wire with a dark edge."""
        self.curve(points, edge, width + 5)
        self.curve(points, colour, width)

    def disc(
        self,
        x: float,
        y: float,
        r: float,
        fill: Colour | None,
        *,
        line: Colour | None = INK,
        width: float = 4,
        ry: float | None = None,
    ) -> None:
        tall = r if ry is None else ry
        box = (
            (x - r) * _FINE,
            (y - tall) * _FINE,
            (x + r) * _FINE,
            (y + tall) * _FINE,
        )
        self._pen.ellipse(box, fill, line, round(width * _FINE))

    def arc(
        self,
        x: float,
        y: float,
        r: float,
        start: float,
        end: float,
        colour: Colour = INK,
        width: float = 4,
    ) -> None:
        box = ((x - r) * _FINE, (y - r) * _FINE, (x + r) * _FINE, (y + r) * _FINE)
        self._pen.arc(box, start, end, colour, round(width * _FINE))

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float,
        *,
        colour: Colour = INK,
        anchor: str = "la",
    ) -> None:
        face = _face(round(size * _FINE))
        self._pen.text((x * _FINE, y * _FINE), words, colour, face, anchor=anchor)

    def wash(self, points: Sequence[Point], colour: Colour, strength: float) -> None:
        """Lay a see-through tone over a shape (shadows, light, stains)."""
        scaled = self._scaled(points)
        left = math.floor(min(x for x, _ in scaled))
        top = math.floor(min(y for _, y in scaled))
        right = math.ceil(max(x for x, _ in scaled)) + 1
        bottom = math.ceil(max(y for _, y in scaled)) + 1
        mask = Image.new("L", (right - left, bottom - top))
        moved = [(x - left, y - top) for x, y in scaled]
        ImageDraw.Draw(mask).polygon(moved, round(255 * strength))
        self._image.paste(colour, (left, top, right, bottom), mask)

    def glow(self, x: float, y: float, r: float, colour: Colour) -> None:
        """Draw a soft light around a point."""
        for step in range(6):
            reach = r * (1 - step / 6)
            ring = [
                (
                    x + reach * math.cos(a / 20 * math.pi),
                    y + reach * math.sin(a / 20 * math.pi),
                )
                for a in range(40)
            ]
            self.wash(ring, colour, 0.1)

    def speckle(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        count: int,
        colour: Colour,
        size: float = 3,
    ) -> None:
        for _ in range(count):
            at = (x + self.chance.random() * w, y + self.chance.random() * h)
            self.disc(*at, size * (0.4 + self.chance.random()), colour, line=None)

    def finished(self, caption: str) -> Image.Image:
        """Add the strip that says this is a drawing, and give it paper's grain."""
        top = FLOOR_Y
        self.rect(-9, top, WIDTH + 18, STRIP + 9, PAPER, width=3)
        self.text(40, top + STRIP / 2, "illustration", 27, colour=SOFT_INK, anchor="lm")
        self.path([(216, top + 24), (216, top + STRIP - 22)], SOFT_INK, 2)
        self.text(240, top + STRIP / 2, caption, 27, anchor="lm")
        small = self._image.reduce(_FINE)
        return _grained(small, self.chance)

    @staticmethod
    def _scaled(points: Sequence[Point]) -> list[Point]:
        return [(x * _FINE, y * _FINE) for x, y in points]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A named picture of the demo: how it is drawn and what its strip says."""

    name: str
    caption: str
    ground: Colour
    work: Callable[[Sheet], None]

    def __call__(self, seed: int = 0) -> Image.Image:
        sheet = Sheet(self.name, seed, self.ground)
        self.work(sheet)
        return sheet.finished(self.caption)


DRAWINGS: dict[str, Drawing] = {}


def drawing(
    caption: str, ground: Colour = PAPER
) -> Callable[[Callable[[Sheet], None]], Callable[[Sheet], None]]:
    """Enter a function among the demo's drawings under its own name."""

    def enter(work: Callable[[Sheet], None]) -> Callable[[Sheet], None]:
        name = getattr(work, "__name__", "")
        DRAWINGS[name] = Drawing(name, caption, ground, work)
        return work

    return enter


def _between(a: Point, b: Point, c: Point, d: Point, t: float) -> Point:
    def axis(p: float, q: float, r: float, s: float) -> float:
        bend = 2 * p - 5 * q + 4 * r - s
        twist = -p + 3 * q - 3 * r + s
        return 0.5 * (2 * q + (r - p) * t + bend * t * t + twist * t**3)

    return axis(a[0], b[0], c[0], d[0]), axis(a[1], b[1], c[1], d[1])


def _grained(picture: Image.Image, chance: random.Random) -> Image.Image:
    size = (WIDTH // 4, HEIGHT // 4)
    noise = Image.frombytes("L", size, chance.randbytes(size[0] * size[1]))
    grain = noise.resize(picture.size, Image.Resampling.BILINEAR)
    dark = grain.point(lambda value: max(0, 128 - value) // 9)
    return Image.composite(Image.new("RGB", picture.size, INK), picture, dark)


@cache
def _face(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)
