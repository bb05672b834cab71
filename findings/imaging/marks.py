"""Marks laid over a photo: their form, checked before anything is drawn."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, cast

from findings.imaging.limits import MAX_MARKS, MAX_POINTS, MAX_TEXT, SCALE
from findings.imaging.refused import Refused

Shape = Literal["arrow", "ring", "box", "freehand", "text", "blur"]
Colour = Literal["ink", "red", "yellow", "blue"]

# arrow: from, tip · ring, box, blur: two opposite corners · text: its top left corner
_POINTS_OF: dict[str, tuple[int, int]] = {
    "arrow": (2, 2),
    "ring": (2, 2),
    "box": (2, 2),
    "blur": (2, 2),
    "text": (1, 1),
    "freehand": (2, MAX_POINTS),
}
_COLOURS = {"ink", "red", "yellow", "blue"}


# As the visit's log holds them, before they are checked.
Marks = list[dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Mark:
    shape: Shape
    points: tuple[tuple[int, int], ...]
    colour: Colour = "red"
    text: str = ""

    def as_dict(self) -> dict[str, Any]:
        return {
            "shape": self.shape,
            "points": [list(point) for point in self.points],
            "colour": self.colour,
            "text": self.text,
        }


def parse(marks: Sequence[Mapping[str, Any]]) -> list[Mark]:
    """Check marks as they come from the visit's log.

    A mark that cannot be drawn is refused and never left out: a blur that is
    silently skipped would show what somebody meant to hide.
    """
    if len(marks) > MAX_MARKS:
        raise Refused(f"A picture may carry {MAX_MARKS} marks; this one has more.")
    return [_mark(number, mark) for number, mark in enumerate(marks, start=1)]


def _mark(number: int, mark: Mapping[str, Any]) -> Mark:
    shape = mark.get("shape")
    if not isinstance(shape, str) or shape not in _POINTS_OF:
        raise Refused(f"Mark {number}: the shape {shape!r} is not known.")
    colour = mark.get("colour") or "red"
    if colour not in _COLOURS:
        raise Refused(f"Mark {number}: the colour {colour!r} is not known.")
    text = mark.get("text") or ""
    if not isinstance(text, str) or len(text) > MAX_TEXT:
        raise Refused(f"Mark {number}: the text may have {MAX_TEXT} characters.")
    if shape == "text" and not text.strip():
        raise Refused(f"Mark {number}: a text mark needs its text.")
    points = _points(number, shape, mark.get("points"))
    return Mark(cast("Shape", shape), points, cast("Colour", colour), text)


def _points(number: int, shape: str, points: Any) -> tuple[tuple[int, int], ...]:
    least, most = _POINTS_OF[shape]
    if not isinstance(points, list | tuple) or not least <= len(points) <= most:
        wanted = str(least) if least == most else f"{least} to {most}"
        raise Refused(f"Mark {number}: {shape} takes {wanted} points.")
    checked = []
    for point in points:
        if not isinstance(point, list | tuple) or len(point) != 2:  # noqa: PLR2004
            raise Refused(f"Mark {number}: a point is a pair of numbers.")
        if not all(type(part) is int and 0 <= part <= SCALE for part in point):
            raise Refused(
                f"Mark {number}: points are whole numbers from 0 to {SCALE} of the "
                "upright picture."
            )
        checked.append((int(point[0]), int(point[1])))
    return tuple(checked)


def marks_of(records: Mapping[str, Mapping[str, Any]], photo_id: str) -> Marks:
    """Return the photo's marks in a fixed order, as the drawing code takes them."""
    found = [
        (
            key,
            {
                "shape": record.get("shape"),
                "points": record.get("points") or [],
                "colour": record.get("colour") or "ink",
                "text": record.get("text") or "",
            },
        )
        for key, record in records.items()
        if record["kind"] == "mark" and record.get("photo") == photo_id
    ]
    return [mark for _, mark in sorted(found, key=lambda pair: pair[0])]


def unmarked(marks: Marks) -> Marks:
    """Leave off what was drawn to point something out; what was hidden stays hidden."""
    return [mark for mark in marks if mark["shape"] == "blur"]
