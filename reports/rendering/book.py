"""The snapshot with its references followed: what every template prints from."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property

from reports.rendering import canonical, reading
from reports.rendering.schema import (
    Finding,
    Limit,
    Photo,
    Place,
    Rendition,
    Snapshot,
    System,
)

Address = Callable[[Photo, str], str]


@dataclass(frozen=True, slots=True)
class Picture:
    """One photo where a page shows it."""

    anchor: str
    number: str
    caption: str
    alt: str
    taken: str
    place: str
    marked: bool
    address: str
    large: str
    large_width: str
    width: str
    height: str
    upright: bool
    finding: "Reference | None"


@dataclass(frozen=True, slots=True)
class Reference:
    """Enough of a finding to point at it."""

    anchor: str
    number: str
    item: str
    place: str
    sentence: str
    seen: str  # the first sentence of what was seen
    grave: bool


@dataclass(frozen=True, slots=True)
class Entry:
    """One finding in full."""

    ref: Reference
    system: str
    parts: tuple[tuple[str, str], ...]
    age_note: str
    state_says: str
    also: str
    pictures: tuple[Picture, ...]
    trade: str
    trade_key: str
    timing: str
    timing_key: str
    place_id: str


@dataclass(frozen=True, slots=True)
class Room:
    """One place: how it was looked at, what was found, what could not be seen."""

    anchor: str
    name: str
    where: str
    method: str
    looked: str
    entries: tuple[Entry, ...]
    elsewhere: tuple[Reference, ...]
    pictures: tuple[Picture, ...]
    limits: tuple[Limit, ...]


@dataclass(frozen=True, slots=True)
class Chapter:
    """One system: what it is, what was looked at, where its findings stand."""

    anchor: str
    system: System
    looked: str
    counts: str
    refs: tuple[Reference, ...]


@dataclass(frozen=True, slots=True)
class Craft:
    """One trade to call, and what for."""

    anchor: str
    key: str
    label: str  # "an electrician"
    name: str  # "Electrician"
    refs: tuple[Reference, ...]


@dataclass(frozen=True, slots=True)
class Gap:
    """Something that could not be seen, and what the client can do about it."""

    text: str
    where: str
    reason: str
    remedy: str


class Book:
    """A snapshot as read; made once per rendering from its canonical bytes.

    `narrowed` takes a part of it; numbers of findings and photos stay those of the
    whole.
    """

    def __init__(
        self,
        raw: bytes,
        address: Address,
        size: str,
        narrowed: Callable[[Snapshot], Snapshot] | None = None,
    ) -> None:
        whole = reading.from_bytes(raw)
        self.snapshot: Snapshot = narrowed(whole) if narrowed else whole
        self.digest = canonical.digest(raw)
        self._address = address
        self._size = size
        self._findings = {one.id: one for one in self.snapshot.findings}
        self._photos = {one.id: one for one in self.snapshot.photos}
        self._places = {one.id: one for one in self.snapshot.places}
        self._order = {one.id: n for n, one in enumerate(whole.photos, 1)}

    @property
    def address_line(self) -> str:
        return ", ".join(self.snapshot.property.address_lines)

    @property
    def title(self) -> str:
        """What the client calls it: "Report of 4 March, corrected 6 March"."""
        replaced = self.snapshot.replaces
        what = "Re-check" if self.snapshot.rechecked else "Report"
        if replaced is None:
            return f"{what} of {self.snapshot.issued_local}"
        return (
            f"{what} of {replaced.issued_local}, corrected {self.snapshot.issued_local}"
        )

    @property
    def checker_words(self) -> str:
        checker = self.snapshot.people.words_checked_by
        if checker.same_person:
            return f"{checker.name}, who also looked at the house"
        visited = "who was also there" if checker.visited else "who did not visit"
        return f"{checker.name}, {visited}"

    @cached_property
    def rooms(self) -> tuple[Room, ...]:
        rooms = (self._room(place) for place in self.snapshot.places)
        if not self.snapshot.rechecked:
            return tuple(rooms)
        # A re-check goes to some places only; the others are in the earlier report.
        return tuple(r for r in rooms if r.entries or r.pictures or r.limits)

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        return tuple(self._entry(finding) for finding in self.snapshot.findings)

    @cached_property
    def chapters(self) -> tuple[Chapter, ...]:
        return tuple(
            Chapter(
                anchor=f"system-{one.key}",
                system=one,
                looked=_sentences(one.looked),
                counts=_sentences(one.counts),
                refs=self.references(one.findings),
            )
            for one in self.snapshot.systems
        )

    @cached_property
    def trades(self) -> tuple[Craft, ...]:
        """Each trade with its findings, in the order the report first names it."""
        found: dict[str, list[Finding]] = {}
        for finding in self.snapshot.findings:
            found.setdefault(finding.trade.key, []).append(finding)
        return tuple(
            Craft(
                anchor=f"trade-{key}",
                key=key,
                label=mine[0].trade.label,
                name=_capital(
                    mine[0].trade.label.removeprefix("an ").removeprefix("a ")
                ),
                refs=tuple(_reference(one) for one in mine),
            )
            for key, mine in found.items()
        )

    @cached_property
    def gaps(self) -> tuple[Gap, ...]:
        """Every limit once, those of the whole visit first, then by place."""
        gaps = [_gap(limit, limit.places) for limit in self.snapshot.limits]
        for place in self.snapshot.places:
            gaps += [
                _gap(limit, limit.places or (place.name,)) for limit in place.limits
            ]
        return tuple(dict.fromkeys(gaps))

    @property
    def front(self) -> tuple[Reference, ...]:
        return self.references(self.snapshot.front.items)

    @property
    def cover(self) -> Picture | None:
        chosen = self.snapshot.cover_photo
        return None if chosen is None else self.picture(chosen, "large")

    def references(self, ids: Iterable[str]) -> tuple[Reference, ...]:
        return tuple(_reference(self._findings[one]) for one in ids)

    def reference(self, one: str | None) -> Reference | None:
        return None if one is None else _reference(self._findings[one])

    def picture(self, one: str, size: str = "") -> Picture:
        photo = self._photos[one]
        shown: Rendition = getattr(photo.renditions, size or self._size)
        number = str(self._order[one])
        place = self._places[photo.place].name
        return Picture(
            anchor=f"photo-{one}",
            number=number,
            caption=photo.caption,
            alt=f"Photo {number}: {photo.caption or place}",
            taken=photo.taken_local,
            place=place,
            marked=photo.marked,
            address=self._address(photo, size or self._size),
            large=self._address(photo, "large"),
            large_width=str(photo.renditions.large.width),
            width=str(shown.width),
            height=str(shown.height),
            upright=shown.height > shown.width,
            finding=self._shown_with.get(one),
        )

    @cached_property
    def _shown_with(self) -> dict[str, Reference]:
        return {
            photo: _reference(finding)
            for finding in reversed(self.snapshot.findings)
            for photo in finding.photos
        }

    def _room(self, place: Place) -> Room:
        mine = [f for f in self.snapshot.findings if f.place_id == place.id]
        others = [one for one in place.findings if one not in {f.id for f in mine}]
        spoken_for = {photo for f in mine for photo in f.photos}
        return Room(
            anchor=f"place-{place.id}",
            name=place.name,
            where=", ".join(part for part in (place.floor, place.corner) if part),
            method=place.method_words,
            looked=_sentences(place.looked),
            entries=tuple(self._entry(finding) for finding in mine),
            elsewhere=self.references(others),
            pictures=tuple(
                self.picture(one) for one in place.photos if one not in spoken_for
            ),
            limits=place.limits,
        )

    def _entry(self, finding: Finding) -> Entry:
        also = [p for p in finding.places if p != finding.place_id]
        return Entry(
            ref=_reference(finding),
            system=finding.system,
            parts=_parts(finding),
            age_note=finding.age_note,
            state_says=finding.state_says,
            also=", ".join(self._places[one].name for one in also),
            pictures=tuple(self.picture(one) for one in finding.photos),
            trade=finding.trade.label,
            trade_key=finding.trade.key,
            timing=finding.timing.label,
            timing_key=finding.timing.key,
            place_id=finding.place_id,
        )


def _reference(finding: Finding) -> Reference:
    return Reference(
        anchor=f"finding-{finding.number}",
        number=str(finding.number),
        item=_capital(finding.item or finding.system),
        place=finding.place,
        sentence=finding.sentence,
        seen=_first_sentence(finding.words.seen),
        grave=finding.consequence.key == "could_hurt",
    )


def _first_sentence(text: str) -> str:
    first, stop, _ = text.partition(". ")
    return _capital(first + (stop.strip() if stop else ""))


def _parts(finding: Finding) -> tuple[tuple[str, str], ...]:
    words = finding.words
    named = (
        ("Seen", words.seen),
        ("Why it matters", words.matters),
        ("What to do", words.action),
        ("How soon", words.when),
    )
    return tuple((label, text) for label, text in named if text)


def _sentences(pieces: Iterable[str]) -> str:
    """Join what may or may not end in a stop, so that each piece is a sentence."""
    return " ".join(f"{piece.strip().rstrip('.;')}." for piece in pieces)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _gap(limit: Limit, places: Iterable[str]) -> Gap:
    return Gap(limit.text, ", ".join(places), limit.reason, limit.what_you_can_do)
