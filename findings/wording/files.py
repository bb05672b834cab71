"""Reads the wording's data files strictly: an unknown key names its file and place."""

from pathlib import Path
from typing import Any, TypeVar

import msgspec
import yaml

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
T = TypeVar("T")


class WordingDataError(ValueError):
    """A wording file that cannot be used; says which file and which key."""


class Strict(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A frozen record that refuses keys it does not know."""


def read(path: Path, form: type[T]) -> T:
    """Read one file in its form. Raises WordingDataError."""
    data: Any = yaml.load(path.read_bytes(), Loader=yaml.CSafeLoader)
    try:
        return msgspec.convert(data, form)
    except msgspec.ValidationError as error:
        raise WordingDataError(f"{path.name}: {error}") from error


def words_file(name: str) -> Path:
    """Return a file of fixtures/words."""
    return FIXTURES / "words" / name
