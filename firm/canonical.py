"""Canonical bytes and digests, the same for chains, logs and snapshots."""

import hashlib
from typing import Any

import rfc8785


def encode(value: Any) -> bytes:
    """Return RFC 8785 bytes; refuses floats out of range, decimals and dates."""
    return rfc8785.dumps(value)


def digest(value: Any) -> str:
    """Return the SHA-256 of the canonical bytes, in hex."""
    return hashlib.sha256(encode(value)).hexdigest()
