"""A snapshot without its people: what stays when a client's names have to go."""

from __future__ import annotations

from typing import Any

import msgspec

from firm import canonical

GONE = "Name withheld"


def without_names(raw: bytes) -> bytes:
    """Return the canonical bytes with clients, company and salt taken out.

    The salt is what makes the whole snapshot's digest say nothing about a name: without
    it nobody can try names until the digest fits.
    """
    plain: dict[str, Any] = msgspec.json.decode(raw)
    plain["salt"] = ""
    plain["people"]["clients"] = [GONE for _ in plain["people"]["clients"]]
    for one in plain["visit"]["attended"]:
        one["name"] = GONE
    for one in plain["told"]:
        one["to"] = GONE if one["to"] else ""
    for one in plain["urgent"]:
        one["told"] = GONE if one["told"] else ""
    return canonical.encode(plain)
