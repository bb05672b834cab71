"""The small types a snapshot is made of, and the base every part of it shares."""

from typing import Annotated, Literal

from msgspec import Meta, Struct

Line = Annotated[str, Meta(max_length=400)]
Named = Annotated[str, Meta(min_length=1, max_length=400)]
Text = Annotated[str, Meta(max_length=20_000)]
Key = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9_.:-]{0,79}$")]
Ref = Annotated[str, Meta(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.:-]{0,79}$")]
Sha256 = Annotated[str, Meta(pattern=r"^[0-9a-f]{64}$")]
Instant = Annotated[str, Meta(pattern=r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,6})?Z$")]
Count = Annotated[int, Meta(ge=0, le=1_000_000)]
Pixels = Annotated[int, Meta(ge=1, le=20_000)]

ConsequenceKey = Literal[
    "could_hurt", "harming_building", "did_not_work", "old_for_kind", "upkeep"
]
TimingKey = Literal[
    "today", "before_close", "before_move_in", "first_year", "when_replaced", "watch"
]
# "for me (kept)" is missing on purpose: such a picture cannot reach a client.
PhotoKind = Literal["general_view", "shows_it", "plate"]
SpaceKind = Literal["breaker", "fuse", "pull_out", "blank_filler", "open", "not_read"]
Standing = Literal["on", "off", "tripped", "damaged", ""]


class Part(Struct, frozen=True, forbid_unknown_fields=True):
    """Base of everything in a snapshot: frozen, and a stray field is refused."""


class Consequence(Part, frozen=True, kw_only=True):
    """A key for our own code beside the words a client reads."""

    key: ConsequenceKey
    label: Named


class Timing(Part, frozen=True, kw_only=True):
    key: TimingKey
    label: Named


class Trade(Part, frozen=True, kw_only=True):
    key: Key
    label: Named
