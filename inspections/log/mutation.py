"""One mutation as it came: what of it the log's columns can hold, and what is wrong."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final
from uuid import NAMESPACE_URL, UUID, uuid5

MAX_BYTES: Final = 64 * 1024
MAX_DEPTH: Final = 20
MAX_INT: Final = 2**53
_MAX_SCHEMA: Final = 2**31 - 1
_MAX_SEQ: Final = 2**63 - 1
_FIELD_LENGTH: Final = 60
_AT_LENGTH: Final = 40


class Unusable(ValueError):
    """A mutation without an id or a number cannot even be set apart."""

    def __init__(self, part: str, message: str) -> None:
        super().__init__(message)
        self.part = part


@dataclass(frozen=True, slots=True)
class Mutation:
    """A mutation, ready for the log; `fault` says why it can only be set apart.

    `raw` holds the whole of it when the columns cannot.
    """

    id: UUID
    seq: int
    rec: UUID | None
    field: str
    value: Any
    seen: tuple[UUID, ...]
    schema: int
    at: str
    content_sha256: str
    fault: str | None = None
    raw: bytes | None = None

    def under_new_id(self, device: UUID) -> Mutation:
        """Return it as it is kept when its id already names something else.

        The same push again gives the same new id, so a repeat adds nothing.
        """
        name = f"reused:{device}:{self.id}:{self.seq}:{self.content_sha256}"
        return replace(
            self,
            id=uuid5(NAMESPACE_URL, name),
            fault="id: it already names another entry",
        )


def parse(item: Any, visit: UUID) -> Mutation:
    """Read one mutation; raises Unusable, else never refuses."""
    if not isinstance(item, Mapping):
        raise Unusable("", "must be an object")
    id_, seq = as_uuid(item.get("id")), item.get("seq")
    if id_ is None:
        raise Unusable("id", "must be a UUID")
    if not isinstance(seq, int) or isinstance(seq, bool) or not 1 <= seq <= _MAX_SEQ:
        raise Unusable("seq", "must be a whole number from 1")
    fault = _fault(item, id_, visit)
    held = Mutation(
        id=id_,
        seq=seq,
        rec=as_uuid(item.get("rec")),
        field=_short(item.get("field"), _FIELD_LENGTH),
        value=None if fault else item.get("value"),
        seen=() if fault else tuple(UUID(s) for s in item.get("seen", [])),
        schema=0 if fault else item.get("schema", 1),
        at=_short(item.get("at"), _AT_LENGTH),
        content_sha256=content_sha256(item, id_, visit),
        fault=fault,
    )
    return replace(held, raw=_ascii(item)) if fault else held


def content_sha256(item: Mapping[str, Any], id_: UUID, visit: UUID) -> str:
    """Return the digest of what a mutation says.

    Its number and device are left out: a device that takes a new id numbers anew.
    """
    said = {key: item.get(key) for key in ("rec", "field", "value", "at")}
    said |= {
        "id": str(id_),
        "visit": str(visit),
        "seen": item.get("seen", []),
        "schema": item.get("schema", 1),
    }
    return hashlib.sha256(_ascii(said)).hexdigest()


def as_uuid(value: Any) -> UUID | None:
    if not isinstance(value, str):
        return None
    try:
        return UUID(value)
    except ValueError:
        return None


def unholdable(value: Any, depth: int = 0) -> str | None:
    """Say what in a JSON value the log cannot hold; None when it can."""
    if depth > MAX_DEPTH:
        return "is nested too deeply"
    if isinstance(value, str):
        return _unholdable_text(value)
    if isinstance(value, list):
        return _first(unholdable(part, depth + 1) for part in value)
    if isinstance(value, dict):
        return _first(
            _unholdable_text(key) or unholdable(part, depth + 1)
            for key, part in value.items()
        )
    return _unholdable_number(value)


def _unholdable_number(value: Any) -> str | None:
    if isinstance(value, float):
        return "must not be a number with a point; send it as text"
    if isinstance(value, int) and abs(value) > MAX_INT:
        return "is too large a number"
    return None


def _fault(item: Mapping[str, Any], id_: UUID, visit: UUID) -> str | None:
    """Say what cannot be put into the log's columns; the first problem is enough."""
    return _first(
        problem(item, id_, visit)
        for problem in (_misplaced, _field_fault, _seen_fault, _rest_fault)
    )


def _misplaced(item: Mapping[str, Any], _id: UUID, visit: UUID) -> str | None:
    if as_uuid(item.get("visit", str(visit))) != visit:
        return "visit: this entry belongs to another visit"
    if len(_ascii(item)) > MAX_BYTES and _size(item) > MAX_BYTES:
        return "value: larger than 64 KiB"
    return None if as_uuid(item.get("rec")) else "rec: must be a UUID"


def _field_fault(item: Mapping[str, Any], _id: UUID, _visit: UUID) -> str | None:
    field = item.get("field")
    if not isinstance(field, str) or not 1 <= len(field) <= _FIELD_LENGTH:
        return "field: must be a name of at most 60 characters"
    if problem := _unholdable_text(field):
        return f"field: {problem}"
    problem = unholdable(item["value"]) if "value" in item else "no value was sent"
    return f"{field}: {problem}" if problem else None


def _seen_fault(item: Mapping[str, Any], id_: UUID, _visit: UUID) -> str | None:
    seen = item.get("seen", [])
    if not isinstance(seen, list) or any(as_uuid(s) is None for s in seen):
        return "seen: must be a list of UUIDs"
    if id_ in {UUID(s) for s in seen}:
        return "seen: an entry cannot have seen itself"
    return None


def _rest_fault(item: Mapping[str, Any], _id: UUID, _visit: UUID) -> str | None:
    schema = item.get("schema", 1)
    if not isinstance(schema, int) or isinstance(schema, bool):
        return "schema: must be a whole number"
    if not 1 <= schema <= _MAX_SCHEMA:
        return "schema: not a version there has been"
    at = item.get("at", "")
    if not isinstance(at, str) or len(at) > _AT_LENGTH or _unholdable_text(at):
        return "at: must be a time of at most 40 characters"
    return None


def _unholdable_text(text: str) -> str | None:
    if "\x00" in text:
        return "holds the character U+0000"
    try:
        text.encode()
    except UnicodeEncodeError:
        return "holds half of a surrogate pair"
    return None


def _first(problems: Any) -> str | None:
    return next((problem for problem in problems if problem), None)


def _short(value: Any, length: int) -> str:
    """Return a text that fits its column, or nothing."""
    if isinstance(value, str) and len(value) <= length and not _unholdable_text(value):
        return value
    return ""


def _ascii(value: Any) -> bytes:
    # Escaped, so that what no column holds (U+0000, lone surrogates) stays readable.
    return json.dumps(dict(value), sort_keys=True, separators=(",", ":")).encode()


def _size(value: Any) -> int:
    text = json.dumps(dict(value), separators=(",", ":"), ensure_ascii=False)
    return len(text.encode("utf-8", "surrogatepass"))
