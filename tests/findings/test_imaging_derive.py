"""Copies of a photo: upright, sRGB, the right size, and nothing but pixels."""

import hashlib

import pytest
from PIL import Image

from findings.imaging import exif
from findings.imaging.derive import Derived, derive
from tests.support import pictures

XMP = (
    b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:Description '
    b'tiff:Orientation="6" place="secret lane"/></x:xmpmeta>'
)
# Marker segments of JPEG (ITU-T T.81 table B.1): APP1..APP15 and comments.
METADATA_MARKERS = {*range(0xE1, 0xF0), 0xFE}


def markers(jpeg: bytes) -> set[int]:
    """The segments before the picture data."""
    found, at = set(), 2
    while jpeg[at + 1] != 0xDA:
        found.add(jpeg[at + 1])
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    return found


def renditions(derived: Derived) -> list[bytes]:
    return [derived.large.bytes, derived.print.bytes, derived.thumb.bytes]


@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_orientation_comes_out_upright(orientation: int) -> None:
    original = pictures.photo(pictures.quarters(), orientation=orientation)

    derived = derive(original)

    for copy in renditions(derived):
        seen = pictures.corners_of(copy)
        assert all(map(pictures.near, seen, pictures.CORNERS)), seen
    assert (derived.large.width, derived.large.height) == (800, 600)


def test_orientation_six_with_gps_leaves_no_trace_and_the_original_alone() -> None:
    original = pictures.photo(
        pictures.quarters(4000, 3000),
        orientation=6,
        gps=True,
        comment=b"<script>alert(1)</script>",
        xmp=XMP,
    )
    before = hashlib.sha256(original).hexdigest()

    derived = derive(original)

    assert hashlib.sha256(original).hexdigest() == before
    assert exif.read(original).has_gps
    for copy in renditions(derived):
        assert not markers(copy) & METADATA_MARKERS
        assert not pictures.opened(copy).getexif()
        assert set(pictures.opened(copy).info) <= {
            "jfif", "jfif_version", "jfif_unit", "jfif_density",
        }  # fmt: skip
        for word in (b"Exif", b"GPS", b"script", b"secret lane", b"Lantern"):
            assert word not in copy
        assert all(map(pictures.near, pictures.corners_of(copy), pictures.CORNERS))


def test_copies_have_the_agreed_long_edges_and_true_digests() -> None:
    derived = derive(pictures.photo(pictures.quarters(4032, 3024)))

    sizes = [(c.width, c.height) for c in (derived.large, derived.print, derived.thumb)]
    assert sizes == [(1600, 1200), (640, 480), (320, 240)]
    for copy in (derived.large, derived.print, derived.thumb):
        assert pictures.opened(copy.bytes).size == (copy.width, copy.height)
        assert copy.sha256 == hashlib.sha256(copy.bytes).hexdigest()


def test_a_small_picture_is_never_enlarged() -> None:
    derived = derive(pictures.saved(pictures.quarters(200, 100), "PNG"))

    assert {(c.width, c.height) for c in (derived.large, derived.thumb)} == {(200, 100)}


def test_a_very_long_picture_keeps_at_least_one_pixel_across() -> None:
    derived = derive(pictures.saved(Image.new("RGB", (20_000, 2), pictures.RED), "PNG"))

    assert (derived.thumb.width, derived.thumb.height) == (320, 1)


def test_the_same_bytes_and_marks_give_the_same_copies() -> None:
    original = pictures.photo(pictures.quarters(2400, 1800), orientation=6)
    marks = [
        {"shape": "ring", "points": [[1000, 1000], [3000, 3000]], "colour": "blue"},
        {"shape": "text", "points": [[500, 500]], "colour": "ink", "text": "loose"},
        {"shape": "blur", "points": [[6000, 6000], [9000, 9000]]},
    ]

    assert derive(original, marks) == derive(original, marks)


def test_an_orientation_in_xmp_alone_is_ignored_as_browsers_do() -> None:
    original = pictures.photo(pictures.quarters(), xmp=XMP)

    copy = derive(original).large.bytes

    assert all(map(pictures.near, pictures.corners_of(copy), pictures.CORNERS))


def test_colours_in_another_space_are_turned_to_srgb() -> None:
    profile = pictures.swapped_profile()
    picture = Image.new("RGB", (400, 300), pictures.RED)

    copy = derive(pictures.photo(picture, icc=profile)).large.bytes

    red, green, blue = pictures.opened(copy).getpixel((200, 150))  # type: ignore[misc]
    assert blue > 190
    assert red < 60
    assert green < 60


def test_a_broken_profile_does_not_lose_the_photo() -> None:
    picture = Image.new("RGB", (400, 300), pictures.GREEN)

    copy = derive(pictures.photo(picture, icc=b"not a profile")).large.bytes

    assert pictures.near(pictures.opened(copy).getpixel((9, 9)), pictures.GREEN)  # type: ignore[arg-type]


@pytest.mark.parametrize("mode", ["L", "RGBA", "P", "LA", "I;16", "1"])
def test_other_png_modes_become_plain_rgb(mode: str) -> None:
    gray = Image.new("L", (300, 200), 200)
    picture = Image.new("I;16", (300, 200), 200 * 256) if mode == "I;16" else gray
    picture = picture if mode == "I;16" else picture.convert(mode)
    if mode == "1":
        picture = Image.new("1", (300, 200), 1)

    large = pictures.opened(derive(pictures.saved(picture, "PNG")).large.bytes)

    expected = (255, 255, 255) if mode == "1" else (200, 200, 200)
    assert large.mode == "RGB"
    assert pictures.near(large.getpixel((150, 100)), expected)  # type: ignore[arg-type]


def test_what_is_transparent_becomes_white() -> None:
    clear = Image.new("RGBA", (300, 200), (255, 0, 0, 0))

    for kind in ("PNG", "WEBP"):
        large = pictures.opened(derive(pictures.saved(clear, kind)).large.bytes)
        assert pictures.near(large.getpixel((150, 100)), pictures.WHITE)  # type: ignore[arg-type]


def test_cmyk_jpeg_and_webp_are_read() -> None:
    picture = pictures.quarters()

    cmyk = derive(pictures.saved(picture.convert("CMYK"), "JPEG")).large.bytes
    webp = derive(pictures.saved(picture, "WEBP", quality=95)).large.bytes

    for copy in (cmyk, webp):
        seen = pictures.corners_of(copy)
        assert all(
            pictures.near(a, b, 25) for a, b in zip(seen, pictures.CORNERS, strict=True)
        )


def test_the_first_frame_of_an_animation_is_taken() -> None:
    first, second = Image.new("RGB", (90, 60), (9, 9, 9)), pictures.quarters(90, 60)
    moving = pictures.saved(first, "WEBP", save_all=True, append_images=[second])

    large = pictures.opened(derive(moving).large.bytes)

    assert pictures.near(large.getpixel((70, 20)), (9, 9, 9))  # type: ignore[arg-type]


def test_capture_facts_are_read_from_the_header() -> None:
    capture = exif.read(
        pictures.photo(pictures.quarters(800, 600), orientation=6, gps=True)
    )

    assert (capture.kind, capture.width, capture.height) == ("jpeg", 800, 600)
    assert (capture.orientation, capture.has_gps) == (6, True)
    assert capture.taken_at == "2026-03-04T09:12:33-05:00"
    assert capture.camera == "Lantern Works Field 3"


def test_a_picture_without_capture_facts_says_so() -> None:
    capture = exif.read(pictures.saved(pictures.quarters(), "PNG"))

    assert (capture.orientation, capture.taken_at, capture.has_gps) == (1, None, False)
