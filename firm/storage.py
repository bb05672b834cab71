"""Files by their content: written once, read back, never overwritten."""

import hashlib
from typing import IO

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage


class StorageFailed(Exception):
    """What was read back is not what was written."""


def put(key: str, content: bytes) -> None:
    """Store bytes under a key made from their digest; harmless when repeated.

    A key that names another digest is refused: nothing stored is ever overwritten with
    something else.
    """
    if sha256(content) not in key:
        raise StorageFailed(f"{key} is not the key of these bytes")
    if default_storage.exists(key) and _same(key, content):
        return
    if default_storage.exists(key):
        # A torn write of an earlier crash: the key is by content, so this mends it.
        default_storage.delete(key)
    default_storage.save(key, ContentFile(content))
    if not _same(key, content):
        raise StorageFailed(f"{key} was not stored whole")


def remove(key: str) -> None:
    """Let a file go for good; harmless when it is gone. Erasure alone asks for it."""
    default_storage.delete(key)


def get(key: str) -> bytes:
    with default_storage.open(key) as file:
        content: bytes = file.read()
    return content


def open_file(key: str) -> IO[bytes]:
    return default_storage.open(key)


def has(key: str) -> bool:
    return default_storage.exists(key)


def sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _same(key: str, content: bytes) -> bool:
    return sha256(get(key)) == sha256(content)
