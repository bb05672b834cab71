"""What was last read well of a data file or folder, kept for the day it is broken."""

import hashlib
import logging
import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

T = TypeVar("T")
# What reading a data file raises when the file is wrong or cannot be opened.
BROKEN = (ValueError, KeyError, TypeError, AttributeError, IndexError, OSError)
log = logging.getLogger(__name__)


class _Place:
    folder = Path(__file__).resolve().parent.parent / "var" / "kept"


# By name: why what stands on disk was not taken into force.
refused: dict[str, str] = {}


def use(folder: Path) -> None:
    """Keep copies in this folder from now on."""
    _Place.folder = folder


def said(name: str) -> str:
    """Say that an older copy is in force and where the newer file broke; or nothing."""
    why = refused.get(name, "")
    return (
        f"what was in force stays, the newer file cannot be read: {why}" if why else ""
    )


def last_good(name: str, source: Path, load: Callable[[Path], T]) -> T:
    """Give what a file or folder holds; where it is broken, what it last held.

    Raises what `load` raised when nothing good was ever kept.
    """
    try:
        found = load(source)
    except BROKEN as error:
        refused[name] = str(error)
        log.error("%s stays as it was: %s", name, error)  # noqa: TRY400 (no trace)
        return _kept(name, source, load, error)
    refused.pop(name, None)
    try:
        _keep(name, source)
    except OSError as error:
        log.warning("no copy of %s can be kept: %s", name, error)
    return found


def _kept(name: str, source: Path, load: Callable[[Path], T], error: Exception) -> T:
    copy = _Place.folder / name / source.name
    if not copy.exists():
        raise error
    try:
        return load(copy)
    except BROKEN:
        # The copy is of an older form than this program reads.
        raise error from None


def _keep(name: str, source: Path) -> None:
    """Put a copy in place of the older one, in one step for those who read it."""
    pointer = _Place.folder / name
    target = pointer.with_name(f"{name}.{_digest(source)}")
    if pointer.is_symlink() and pointer.resolve() == target.resolve():
        return
    pointer.parent.mkdir(parents=True, exist_ok=True)
    if not target.exists():
        fresh = Path(tempfile.mkdtemp(prefix=f".{name}.", dir=pointer.parent))
        if source.is_dir():
            shutil.copytree(source, fresh / source.name)
        else:
            shutil.copy(source, fresh / source.name)
        try:
            fresh.rename(target)
        except OSError:
            # Another process has put the same copy there.
            shutil.rmtree(fresh)
    link = Path(tempfile.mktemp(prefix=f".{name}.", dir=pointer.parent))  # noqa: S306
    link.symlink_to(target.name)
    link.replace(pointer)
    for older in pointer.parent.glob(f"{name}.*"):
        if older != target:
            shutil.rmtree(older, ignore_errors=True)


def _digest(source: Path) -> str:
    found = hashlib.sha256()
    inside = [source] if source.is_file() else sorted(source.rglob("*"))
    for path in inside:
        if path.is_file():
            found.update(os.fsencode(path.relative_to(source.parent)) + b"\0")
            found.update(path.read_bytes())
    return found.hexdigest()[:16]
