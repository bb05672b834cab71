"""A state's standard as JSON, for a device that works the ledger out by itself."""

from typing import Any

import msgspec

from findings.standards.schema import Pack


def as_json(pack: Pack) -> dict[str, Any]:
    """Give every part of a pack as plain values, named as in its file."""
    built: dict[str, Any] = msgspec.to_builtins(pack)
    return built
