"""Tamperings with files: those that are kept, a PDF on its way, an unpacked bundle."""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.core.files.storage import default_storage

from reports.models import Artefact, Release
from reports.rendering import reading
from tests.drills.rows import flipped
from tests.drills.world import World


def kept_files(world: World) -> list[tuple[str, Path]]:
    """Return every stored file that a release stands on, with what it is called."""
    found = [(row.kind, row.storage_key) for row in Artefact.objects.all()]
    root = Path(default_storage.path(f"firm/{world.cast.northside.pk}"))
    named = stood_on()
    pictures = [
        ("photo", path)
        for part in ("rendition", "original")
        for path in sorted((root / part).iterdir())
        if path.name in named
    ]
    return [(kind, Path(default_storage.path(key))) for kind, key in found] + pictures


def stood_on() -> set[str]:
    """Name the pictures in the frozen contents; lighter copies are made from them."""
    named = set()
    for row in Release.objects.all():
        for photo in reading.from_bytes(bytes(row.snapshot)).photos:
            made = photo.renditions
            copies = (made.large, made.print, made.thumb)
            named |= {f"{copy.sha256}.jpg" for copy in copies} | {photo.original_sha256}
    return named


@contextmanager
def changed(path: Path, chance: random.Random, others: list[Path]) -> Iterator[str]:
    """Change one file somehow, and put it back afterwards."""
    whole = path.read_bytes()
    how = chance.choice(("bit", "bit", "bit", "cut", "longer", "gone", "swapped"))
    swap = [one for one in others if one.read_bytes() != whole]
    if how == "swapped" and not swap:
        how = "bit"
    if how == "gone":
        path.unlink()
    else:
        path.write_bytes(_new(how, whole, chance, swap))
    try:
        yield how
    finally:
        path.write_bytes(whole)


def _new(how: str, whole: bytes, chance: random.Random, swap: list[Path]) -> bytes:
    if how == "cut":
        return whole[: chance.randrange(len(whole))]
    if how == "longer":
        return whole + chance.randbytes(chance.randrange(1, 60))
    if how == "swapped":
        return chance.choice(swap).read_bytes()
    return flipped(whole, chance)
