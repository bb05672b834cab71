"""Letters for text marks, from our own font files; runs in the decoding child only."""

from io import BytesIO
from itertools import groupby
from pathlib import Path

from PIL import ImageDraw, ImageFont

from findings.imaging.refused import Refused

# The same two cuts that the pages use: plain Latin first, its extension second.
FILES = (
    "source-sans-3-latin-600-normal.woff2",
    "source-sans-3-latin-ext-600-normal.woff2",
)
_PLAIN = (range(0x0100), range(0x2000, 0x2070))

Colour = tuple[int, int, int]
Fonts = tuple[bytes, ...]


def load(folder: Path) -> Fonts:
    """Read the font files before the child gives up opening any."""
    return tuple((folder / name).read_bytes() for name in FILES)


class Line:
    """One line of text at one size, ready to be placed."""

    def __init__(self, text: str, fonts: Fonts, size: float, edge: int) -> None:
        faces = [ImageFont.truetype(BytesIO(font), size) for font in fonts]
        self._edge = edge
        self._runs: list[tuple[float, str, ImageFont.FreeTypeFont]] = []
        at = 0.0
        for extended, letters in groupby(text, key=_extended):
            run = "".join(letters)
            face = faces[-1] if extended else faces[0]
            self._runs.append((at, run, face))
            at += face.getlength(run)
        ascent, descent = faces[0].getmetrics()
        self.width, self.height = at + 2 * edge, ascent + descent + 2 * edge

    def draw(
        self, pen: ImageDraw.ImageDraw, x: float, y: float, fill: Colour, halo: Colour
    ) -> None:
        """Draw with the top left corner of the line, halo included, at a point."""
        # All halos before all letters: no run may cover its neighbour's edge.
        for edge, colour in ((self._edge, halo), (0, fill)):
            for at, run, face in self._runs:
                spot = (x + self._edge + at, y + self._edge)
                pen.text(spot, run, colour, face, stroke_width=edge, stroke_fill=colour)


def fitting(text: str, fonts: Fonts, size: float, edge: int, across: int) -> Line:
    """Return the line at the size wanted, or smaller so that it fits across."""
    if not fonts:
        raise Refused("Text marks cannot be drawn: the font is missing.")
    line = Line(text, fonts, size, edge)
    if line.width > across:
        line = Line(text, fonts, max(9.0, size * across / line.width * 0.97), edge)
    return line


def _extended(letter: str) -> bool:
    return not any(ord(letter) in plain for plain in _PLAIN)
