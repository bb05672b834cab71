"""One set of bytes for one snapshot: RFC 8785 over text that is already NFC."""

import hashlib
import unicodedata
from collections.abc import Iterator
from typing import Any

import rfc8785

from firm import canonical
from reports.rendering.reading import BadSnapshot
from reports.rendering.schema import Snapshot, to_builtins


def encode(snapshot: Snapshot | dict[str, Any]) -> bytes:
    """Return the canonical bytes; raises BadSnapshot for what RFC 8785 cannot hold.

    Composed and decomposed letters look alike and hash differently, so text that is
    not NFC is refused here rather than changed: whoever took it in must settle it.
    """
    plain = to_builtins(snapshot) if isinstance(snapshot, Snapshot) else snapshot
    for path, text in _texts(plain, ""):
        if not unicodedata.is_normalized("NFC", text):
            raise BadSnapshot(f"{path or 'snapshot'}: text is not in Unicode form NFC")
    try:
        return canonical.encode(plain)
    except (rfc8785.CanonicalizationError, UnicodeEncodeError) as error:
        raise BadSnapshot(f"snapshot: {error}") from error


def digest(raw: bytes) -> str:
    """Return the SHA-256 of canonical bytes in hexadecimal."""
    return hashlib.sha256(raw).hexdigest()


def _texts(value: object, path: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield f"{path} (a key)", str(key)
            yield from _texts(inner, f"{path}.{key}" if path else str(key))
    elif isinstance(value, list | tuple):
        for index, inner in enumerate(value):
            yield from _texts(inner, f"{path}[{index}]")
