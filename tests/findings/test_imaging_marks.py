"""Marks end up where they were drawn, with a halo; covered places stay covered."""

from io import BytesIO

import pytest
from PIL import Image, ImageChops, ImageDraw

from findings.imaging.derive import Refused, derive
from findings.imaging.overlay import COLOURS
from tests.support import pictures

GRAY = (128, 128, 128)
Pixels = dict[str, Image.Image]


def marked(*marks: dict[str, object], size: tuple[int, int] = (1600, 1200)) -> Pixels:
    derived = derive(pictures.saved(Image.new("RGB", size, GRAY), "PNG"), marks)
    copies = {"large": derived.large, "print": derived.print, "thumb": derived.thumb}
    return {name: pictures.opened(c.bytes).convert("RGB") for name, c in copies.items()}


def at(picture: Image.Image, x: int, y: int) -> tuple[int, int, int]:
    """The pixel at a mark's own coordinates."""
    width, height = picture.size
    spot = (min(width - 1, x * width // 10_000), min(height - 1, y * height // 10_000))
    return picture.getpixel(spot)  # type: ignore[return-value]


@pytest.mark.parametrize("colour", COLOURS)
def test_an_arrow_runs_from_its_start_to_its_tip(colour: str) -> None:
    copies = marked(
        {"shape": "arrow", "points": [[1000, 5000], [8000, 5000]], "colour": colour}
    )

    large = copies["large"]
    assert pictures.near(at(large, 3000, 5000), COLOURS[colour], 30)
    assert pictures.near(at(large, 7800, 5000), COLOURS[colour], 30)
    assert pictures.near(at(large, 9000, 5000), GRAY)
    assert pictures.near(at(large, 500, 5000), GRAY)
    # The head is wider than the shaft: beside the tip's base there is colour.
    assert pictures.near(at(large, 7760, 5080), COLOURS[colour], 60)
    for name in ("print", "thumb"):
        assert pictures.near(at(copies[name], 3000, 5000), COLOURS[colour], 70), name


def test_the_halo_is_white_on_both_sides_of_a_line() -> None:
    large = marked(
        {"shape": "freehand", "points": [[1000, 5000], [9000, 5000]], "colour": "ink"}
    )["large"]

    column = [large.getpixel((800, y)) for y in range(585, 616)]
    whites = [number for number, pixel in enumerate(column) if min(pixel) > 215]  # type: ignore[arg-type]
    darks = [number for number, pixel in enumerate(column) if max(pixel) < 80]  # type: ignore[arg-type]

    assert min(whites) < min(darks)
    assert max(whites) > max(darks)


@pytest.mark.parametrize("shape", ["ring", "box"])
@pytest.mark.parametrize("flip", [False, True])
def test_outlines_touch_their_sides_and_leave_the_middle(
    shape: str, flip: bool
) -> None:
    points = [[2000, 2000], [8000, 8000]]
    large = marked(
        {"shape": shape, "points": points[::-1] if flip else points, "colour": "blue"}
    )["large"]

    for x, y in ((2000, 5000), (8000, 5000), (5000, 2000), (5000, 8000)):
        assert pictures.near(at(large, x, y), COLOURS["blue"], 30), (x, y)
    assert pictures.near(at(large, 5000, 5000), GRAY)
    corner = pictures.near(at(large, 2000, 2000), COLOURS["blue"], 30)
    assert corner is (shape == "box")


def test_text_is_drawn_from_its_corner_and_kept_inside() -> None:
    plain = marked()["large"]
    for points in ([[1000, 1000]], [[9900, 9900]]):
        large = marked(
            {"shape": "text", "points": points, "colour": "red", "text": "LOOSE LUG"}
        )["large"]
        box = ImageChops.difference(plain, large).convert("L").point(
            lambda value: 255 if value > 40 else 0
        ).getbbox()  # fmt: skip
        assert box is not None
        assert box[2] - box[0] > 150
        assert 25 < box[3] - box[1] < 90
        if points == [[1000, 1000]]:
            assert abs(box[0] - 160) < 20
            assert abs(box[1] - 120) < 30


def test_letters_of_other_latin_alphabets_and_long_lines_are_drawn() -> None:
    plain = marked()["large"]
    missing = marked({"shape": "text", "points": [[100, 100]], "text": "\ufffe"})[
        "large"
    ]
    widths = []
    for text in ("ñ é ½", "Ł ő ș", "a rather long remark " * 5):
        large = marked({"shape": "text", "points": [[100, 100]], "text": text})["large"]
        box = ImageChops.difference(plain, large).getbbox()
        assert box is not None
        assert ImageChops.difference(missing, large).getbbox() is not None
        widths.append(box[2] - box[0])
    assert widths[2] > 1400


def test_marks_are_placed_on_the_upright_picture() -> None:
    upright = Image.new("RGB", (1200, 1600), GRAY)
    original = pictures.photo(upright, orientation=6)

    copy = derive(
        original,
        [{"shape": "box", "points": [[100, 100], [2000, 1000]], "colour": "red"}],
    ).large

    large = pictures.opened(copy.bytes).convert("RGB")
    assert (copy.width, copy.height) == (1200, 1600)
    assert pictures.near(at(large, 1000, 100), COLOURS["red"], 40)
    assert pictures.near(at(large, 2000, 500), COLOURS["red"], 40)
    assert pictures.near(at(large, 9000, 9000), GRAY)


BLUR = {"shape": "blur", "points": [[3000, 3000], [6000, 5000]]}


def scene(secret: str, size: tuple[int, int] = (2000, 1500)) -> Image.Image:
    """Two of these differ only inside the place that BLUR covers."""
    picture = pictures.quarters(*size)
    pen = ImageDraw.Draw(picture)
    left, top = size[0] * 32 // 100, size[1] * 32 // 100
    pen.rectangle((left, top, size[0] * 58 // 100, size[1] * 48 // 100), fill=(9, 9, 9))
    pen.text((left + 8, top + 8), secret, fill=(250, 250, 250), font_size=size[1] // 9)
    return picture


@pytest.mark.parametrize("size", [(2000, 1500), (700, 525), (4100, 3075)])
def test_nothing_of_a_covered_place_can_be_computed_back(size: tuple[int, int]) -> None:
    copies = [
        derive(pictures.saved(scene(secret, size), "PNG", compress_level=1), [BLUR])
        for secret in ("AB 123", "XY 987")
    ]

    assert copies[0] == copies[1]


def test_a_covered_place_in_a_jpeg_leaks_nothing_past_its_blocks() -> None:
    one, other = (
        pictures.opened(derive(pictures.photo(scene(s)), [BLUR]).large.bytes)
        for s in ("AB 123", "XY 987")
    )

    assert ImageChops.difference(one, other).convert("L").getextrema()[1] == 0


def test_a_cover_reaches_every_copy_and_hides_the_dark_inside() -> None:
    derived = derive(pictures.photo(scene("AB 123")), [BLUR])

    for copy in (derived.large, derived.print, derived.thumb):
        picture = Image.open(BytesIO(copy.bytes)).convert("RGB")
        assert min(at(picture, 4500, 4000)) >= 15
        assert sum(at(picture, 4500, 4000)) > 120


def test_covering_the_whole_picture_leaves_plain_gray() -> None:
    large = marked({"shape": "blur", "points": [[0, 0], [10_000, 10_000]]})["large"]

    assert pictures.near(at(large, 5000, 5000), GRAY)


WRONG = [
    ({"shape": "star", "points": [[1, 1]]}, "shape"),
    ({"shape": "ring", "points": [[1, 1]]}, "2 points"),
    ({"shape": "ring", "points": [[1, 1], [2, 10_001]]}, "10000"),
    ({"shape": "ring", "points": [[1, 1], [2, True]]}, "whole numbers"),
    ({"shape": "box", "points": [[1, 1], [2.5, 3]]}, "whole numbers"),
    ({"shape": "box", "points": "here"}, "2 points"),
    ({"shape": "text", "points": [[1, 1]], "text": " "}, "text"),
    ({"shape": "text", "points": [[1, 1]], "text": "x" * 121}, "120"),
    ({"shape": "box", "points": [[1, 1], [2, 2]], "colour": "green"}, "colour"),
    ({"shape": "freehand", "points": [[1, 1]] * 2001}, "2 to 2000"),
]


@pytest.mark.parametrize(("mark", "word"), WRONG)
def test_a_mark_that_makes_no_sense_is_refused_by_number(
    mark: dict[str, object], word: str
) -> None:
    fine = {"shape": "ring", "points": [[1, 1], [900, 900]]}

    with pytest.raises(Refused) as refusal:
        derive(pictures.photo(pictures.quarters()), [fine, mark])

    assert "Mark 2" in refusal.value.reason
    assert word in refusal.value.reason


def test_too_many_marks_are_refused() -> None:
    fine = {"shape": "ring", "points": [[1, 1], [900, 900]]}

    with pytest.raises(Refused, match="200 marks"):
        derive(pictures.photo(pictures.quarters()), [fine] * 201)
