"""The shape of an urgent notice, version 1: one thing that could hurt somebody."""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from reports.rendering.fields import Instant, Line, Named, Part, Ref, Sha256, Text
from reports.rendering.reading import BadSnapshot
from reports.rendering.schema import Firm, Renditions


class Picture(Part, frozen=True, kw_only=True):
    id: Ref
    original_sha256: Sha256
    caption: Text
    taken_local: Line = ""
    renditions: Renditions


class Before(Part, frozen=True, kw_only=True):
    """The notice that this one corrects, and why."""

    number: Named
    frozen_local: Named
    reason: Named


class Notice(Part, frozen=True, kw_only=True):
    kind: Literal["urgent_notice"]
    schema: Literal[1]
    language: Literal["en-US"]
    number: Named
    visit: Named
    record: Ref
    firm: Firm
    address_lines: Annotated[tuple[Named, ...], Meta(min_length=1)]
    visited_local: Named
    inspector: Named
    licence: Line = ""
    what: Annotated[str, Meta(min_length=1, max_length=20_000)]
    where: Line = ""
    told: Named
    told_how: Line = ""
    told_local: Line = ""
    left_off: Line = ""
    photos: tuple[Picture, ...] = ()
    not_arrived: Annotated[int, Meta(ge=0)] = 0
    frozen_at: Instant
    frozen_local: Named
    frozen_by: Named
    replaces: Before | None = None


def from_bytes(raw: bytes) -> Notice:
    """Return the notice held in JSON bytes; raises BadSnapshot."""
    try:
        return msgspec.json.decode(raw, type=Notice, strict=True)
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise BadSnapshot(str(error)) from error


def checked(plain: dict[str, object]) -> None:
    """Raise BadSnapshot unless these are the contents of a notice."""
    try:
        msgspec.convert(plain, Notice, strict=True)
    except msgspec.ValidationError as error:
        raise BadSnapshot(str(error)) from error
