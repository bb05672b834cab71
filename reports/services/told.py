"""What a released report tells, and what of it each reader may see."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from reports.models import Release
from reports.rendering import reading
from reports.rendering.schema import Snapshot


@dataclass(frozen=True, slots=True)
class Trade:
    """A trade that the report has work for."""

    key: str
    label: str
    count: int


def snapshot_of(release: Release) -> Snapshot:
    return read(bytes(release.snapshot))


@lru_cache(maxsize=32)
def read(raw: bytes) -> Snapshot:
    return reading.from_bytes(raw)


def seen_by(release: Release, *, whole: bool) -> frozenset[str]:
    """Return the findings that a reader may see: all, or those of the front page."""
    told = snapshot_of(release)
    if whole:
        return frozenset(one.id for one in told.findings)
    return frozenset(told.front.items)


def photos_seen(release: Release, *, whole: bool) -> frozenset[str]:
    told = snapshot_of(release)
    if whole:
        return frozenset(one.id for one in told.photos)
    seen = seen_by(release, whole=whole)
    return frozenset(
        photo for one in told.findings if one.id in seen for photo in one.photos
    )


def trades(release: Release, *, whole: bool) -> tuple[Trade, ...]:
    """Return each trade named in what a reader may see, in the report's order."""
    seen = seen_by(release, whole=whole)
    found: dict[str, Trade] = {}
    for one in snapshot_of(release).findings:
        if one.id in seen:
            known = found.get(one.trade.key, Trade(one.trade.key, one.trade.label, 0))
            found[known.key] = Trade(known.key, known.label, known.count + 1)
    return tuple(found.values())


def address_of(release: Release) -> str:
    return ", ".join(snapshot_of(release).property.address_lines)


def named(release: Release | None, *, whole: bool = True) -> dict[str, str]:
    """Name each finding that a reader may see, as a page says it."""
    if release is None:
        return {}
    seen = seen_by(release, whole=whole)
    return {
        one.id: f"Finding {one.number}: {one.item or one.system}, {one.place}"
        for one in snapshot_of(release).findings
        if one.id in seen
    }


def described(release: Release) -> dict[str, tuple[str, str]]:
    """Return each finding's name and what was seen, for a page that goes back to it."""
    names = named(release)
    return {
        one.id: (names[one.id], one.words.seen) for one in snapshot_of(release).findings
    }
