"""What every line of a standard pack is made of; anything unknown is refused."""

from typing import Literal, TypeAlias

import msgspec

Value: TypeAlias = str | int | float | bool
Match: TypeAlias = dict[str, Value | list[Value] | dict[str, float]]
Source: TypeAlias = Literal["found", "memory"]
Verb: TypeAlias = Literal["inspect", "describe", "report", "operate"]
Trigger: TypeAlias = Literal["always", "if_present", "if_found", "if_absent"]
StopKind: TypeAlias = Literal[
    "arrival",
    "outside",
    "roof",
    "garage",
    "service_equipment",
    "room",
    "attic",
    "under_floor",
    "leaving",
]
Part: TypeAlias = Literal["seen", "matters", "action", "when"]
Holder: TypeAlias = Literal[
    "",
    "agreement",
    "scope",
    "ledger",
    "findings",
    "parts",
    "signer",
    "front",
    "pages",
    "sharing",
]


class Strict(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A frozen record that refuses keys it does not know."""


class Sourced(Strict, frozen=True, kw_only=True):
    """A line of a pack: where it stands and whether its text was read."""

    section: str
    source: Source


class Where(Strict, frozen=True, kw_only=True):
    """Records of one kind whose fields match."""

    record: str
    where: Match = {}
