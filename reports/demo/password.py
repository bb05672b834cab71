"""The demo's one password: made on this machine, kept where only its user reads."""

import secrets
from pathlib import Path


def kept(folder: Path) -> str:
    """Return the password of all the demo's people, made at the first call."""
    path = folder / "demo-password"
    if not path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        path.touch(mode=0o600)
        path.write_text(f"hartsmere-{secrets.token_hex(5)}\n", encoding="utf-8")
    return path.read_text(encoding="utf-8").strip()
