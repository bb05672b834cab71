"""The bytes of an unfinished upload: one file that grows and is cut back."""

from __future__ import annotations

import os
from pathlib import Path

from django.conf import settings

from inspections.models import PhotoFile


def path_of(photo: PhotoFile) -> Path:
    folder: Path = settings.FIRM_UPLOAD_DIR
    return folder / str(photo.firm_id) / f"{photo.pk}.part"


def length(photo: PhotoFile) -> int:
    """Return how many bytes are really here; a wiped disk counts as none."""
    try:
        return path_of(photo).stat().st_size
    except FileNotFoundError:
        return 0


def append(photo: PhotoFile, offset: int, piece: bytes) -> None:
    """Cut the file to the offset, add the piece, and have the disk confirm it."""
    path = path_of(photo)
    fresh = not path.exists()
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("ab") as file:
        # A crash may have left bytes behind that no row speaks of.
        file.truncate(offset)
        file.seek(offset)
        file.write(piece)
        file.flush()
        os.fsync(file.fileno())
    if fresh:
        _sync_folder(path.parent)


def read(photo: PhotoFile) -> bytes:
    return path_of(photo).read_bytes()


def drop(photo: PhotoFile) -> None:
    path_of(photo).unlink(missing_ok=True)


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
