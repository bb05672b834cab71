"""HEIC: off by default, and only with a decoder at or above its version floor.

libheif before 1.23.2 writes out of bounds on crafted files (GHSA-g89c-p67h-r497),
so the binding must be new and bundle a newer library still.
"""

import importlib
import re
from importlib import metadata

BINDING, BINDING_FLOOR = "pillow-heif", (1, 7, 0)
LIBRARY_FLOOR = (1, 23, 3)


class HeicNotAllowed(Exception):
    """HEIC was asked for without a decoder that may be trusted with it."""


def numbers(version: str) -> tuple[int, ...]:
    """Return the leading numbers of a version text, to compare with a floor."""
    return tuple(int(part) for part in re.findall(r"\d+", version)[:3])


def allowed() -> bool:
    """Say whether the installed binding meets its floor; nothing is imported."""
    try:
        return numbers(metadata.version(BINDING)) >= BINDING_FLOOR
    except metadata.PackageNotFoundError:
        return False


def register() -> None:
    """Let Pillow open HEIC; called in the decoding process only."""
    if not allowed():
        raise HeicNotAllowed(f"{BINDING} is missing or older than {BINDING_FLOOR}.")
    binding = importlib.import_module("pillow_heif")
    if numbers(binding.libheif_version()) < LIBRARY_FLOOR:
        raise HeicNotAllowed(f"libheif is older than {LIBRARY_FLOOR}.")
    binding.register_heif_opener(thumbnails=False)
