"""Secret addresses: made once, only their digest is kept."""

import hashlib
import secrets


def new_token() -> str:
    """256 bits, safe in an address."""
    return secrets.token_urlsafe(32)


def digest_of(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()
