"""The demo visit as the phone would send it: mutations and photos in walking order.

Labels such as "@kitchen" in the data become UUIDv7 record ids that are the same for
the same run and differ between runs.
"""

import hashlib
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from io import BytesIO
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from PIL import Image

from reports.demo import illustrations, story
from reports.demo.story import BadStory

_AFTER = re.compile(r"\+(\d+)m")  # "+12m": twelve minutes after the stop was opened
_WITHOUT_ON_SITE = {"visit", "mark"}
_SPACE = {
    "space_kind": "breaker",
    "poles": 1,
    "material": "copper",
    "how": "read",
    "under_screw": 1,
    "protection": "none",
    "state": "on",
}


@dataclass(frozen=True, slots=True)
class Mutation:
    """One field of one record, as the vocabulary has it."""

    rec: str
    field: str
    value: Any
    at: datetime


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo's bytes, to be sent beside the record that names them."""

    rec: str
    name: str
    data: bytes
    sha256: str


@dataclass(slots=True)
class Step:
    """What was recorded at one stop, in order."""

    label: str
    name: str
    opened_at: datetime
    closed_at: datetime
    mutations: list[Mutation] = field(default_factory=list)
    photos: list[Photo] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Script:
    """The whole visit, and the labels' record ids."""

    visit: str
    ids: Mapping[str, str]
    steps: tuple[Step, ...]

    def mutations(self) -> Iterator[Mutation]:
        for step in self.steps:
            yield from step.mutations

    def photos(self) -> Iterator[Photo]:
        for step in self.steps:
            yield from step.photos

    def folded(self) -> dict[str, dict[str, Any]]:
        """Return the records as they stand when all has arrived."""
        records: dict[str, dict[str, Any]] = {}
        for mutation in self.mutations():
            records.setdefault(mutation.rec, {})[mutation.field] = mutation.value
        return records


def write(
    *,
    run: str,
    visit: UUID,
    starts_at: datetime,
    zone: str,
    every_photo: bool = True,
) -> Script:
    """Write the visit for one run; `starts_at` is the arrival, with its offset.

    Without `every_photo` one photo of each kind is drawn and recorded, to be quick.
    """
    writer = _Writer(run, visit, starts_at.astimezone(UTC), ZoneInfo(zone))
    writer.every_photo = every_photo
    steps = tuple(writer.step(stop) for stop in story.stops())
    writer.all_used()
    return Script(str(visit), dict(writer.ids), steps)


def record_id(run: str, label: str, at: datetime) -> str:
    """Return a UUIDv7 (RFC 9562) whose random part comes from run and label."""
    noise = hashlib.sha256(f"{run}/{label}".encode()).digest()
    stamp = int(at.timestamp() * 1000).to_bytes(6, "big")
    raw = bytearray(stamp + noise[:10])
    raw[6] = 0x70 | (raw[6] & 0x0F)
    raw[8] = 0x80 | (raw[8] & 0x3F)
    return str(UUID(bytes=bytes(raw)))


class _Writer:
    def __init__(self, run: str, visit: UUID, start: datetime, zone: ZoneInfo) -> None:
        self.run, self.start, self.zone = run, start, zone
        self.ids = {"@visit": str(visit)}
        self.clock = start
        self.every_photo = True
        self._kinds: set[str] = set()
        self._named: set[str] = {"@visit"}
        self._filed: set[str] = set()
        for stop in story.stops():
            self._claim("@" + stop["label"])
            for entry in stop.get("log", ()):
                for label in _labels(entry):
                    self._claim(label)

    def _claim(self, label: str) -> None:
        if label in self._named and label != "@visit":
            raise BadStory(f"{label} is named twice.")
        self._named.add(label)
        self.ids.setdefault(label, record_id(self.run, label, self.start))

    def step(self, stop: Mapping[str, Any]) -> Step:
        opened = self.clock
        closed = opened + timedelta(minutes=int(stop["minutes"]))
        step = Step(stop["label"], stop["name"], opened, closed)
        log = stop.get("log", ())
        pace = (closed - opened) / (len(log) + 2)
        write = self._pen(step)
        write("@" + stop["label"], _opening(stop, opened))
        for entry in log:
            self.clock += pace
            self._entry(write, step, entry)
        self.clock = closed
        leave = {**stop.get("leave", {})}
        if stop.get("close", True):
            leave |= {"closed_at": _instant(closed), "closed_minutes": stop["minutes"]}
        write("@" + stop["label"], leave)
        self.clock += timedelta(seconds=20)
        return step

    def _pen(self, step: Step) -> Callable[[str, Mapping[str, Any]], None]:
        def write(label: str, fields: Mapping[str, Any]) -> None:
            for name, value in fields.items():
                known = self._resolved(value, step)
                step.mutations.append(
                    Mutation(self.ids[label], name, known, self.clock)
                )

        return write

    def _entry(self, write: Any, step: Step, entry: Mapping[str, Any]) -> None:
        if "draw" in entry:
            if self._draws(entry):
                self._photo(write, step, entry)
        elif "set" in entry:  # a later field of a record named before
            write(entry["set"], {k: v for k, v in entry.items() if k != "set"})
        elif "paint" in entry:
            self._spaces(write, entry)
        else:
            self._record(write, step, entry)

    def _spaces(self, write: Any, entry: Mapping[str, Any]) -> None:
        for number, fields in entry["spaces"].items():
            whole = _SPACE | fields
            if whole["space_kind"] != "breaker":
                whole = {"space_kind": whole["space_kind"], **fields}
            base = {"kind": "space", "enclosure": entry["paint"], "number": number}
            write(f"{entry['paint']}/{number}", {**base, **whole, "on_site": True})

    def _record(self, write: Any, step: Step, entry: Mapping[str, Any]) -> None:
        fields = {k: v for k, v in entry.items() if k != "id"}
        if fields["kind"] not in _WITHOUT_ON_SITE:
            fields["on_site"] = True
        if "stop" not in fields and fields["kind"] in _AT_A_STOP:
            fields = {"kind": fields["kind"], "stop": "@" + step.label, **fields}
        write(entry["id"], fields)

    def _draws(self, entry: Mapping[str, Any]) -> bool:
        kind = f"{entry.get('use', 'general_view')} {bool(entry.get('gps'))}"
        first = kind not in self._kinds
        self._kinds.add(kind)
        return first or self.every_photo

    def _photo(self, write: Any, step: Step, entry: Mapping[str, Any]) -> None:
        label = entry["id"]
        data = illustrations.jpeg(
            entry["draw"],
            orientation=entry.get("turned", 1),
            gps=entry.get("gps", False),
            taken_at=self.clock.astimezone(self.zone).replace(microsecond=0),
        )
        with Image.open(BytesIO(data)) as stored:
            width, height = stored.size
        digest = hashlib.sha256(data).hexdigest()
        self._filed.add(label)
        fields = {
            "kind": "photo",
            "stop": "@" + step.label,
            "about": entry.get("about", "@" + step.label),
            "use": entry.get("use", "general_view"),
            "sha256": digest,
            "size": len(data),
            "width": width,
            "height": height,
            "media": "image/jpeg",
            "taken_at": _instant(self.clock),
            "caption": entry["caption"],
            "file_name": f"IMG_{len(self._filed):04}.jpg",
            "camera": " ".join(illustrations.CAMERA),
            "on_site": True,
        }
        write(label, fields)
        step.photos.append(Photo(self.ids[label], entry["draw"], data, digest))
        for number, mark in enumerate(entry.get("marks", ()), start=1):
            write(f"{label}/{number}", {"kind": "mark", "photo": label, **mark})

    def _resolved(self, value: Any, step: Step) -> Any:
        if isinstance(value, list):
            return [self._resolved(part, step) for part in value]
        if not isinstance(value, str):
            return value
        if value.startswith("@"):
            if value not in self.ids:
                raise BadStory(f"{step.label}: {value} is no label of this visit.")
            return self.ids[value]
        if after := _AFTER.fullmatch(value):
            return _instant(step.opened_at + timedelta(minutes=int(after[1])))
        return value

    def all_used(self) -> None:
        unknown = {d["subject"] for d in story.decisions()} - set(self.ids) - {"*"}
        if unknown:
            raise BadStory(f"decisions name unknown labels: {sorted(unknown)}")


_AT_A_STOP = {
    "duty", "observation", "measure", "enclosure", "receptacle", "wall", "box",
    "branch_wiring", "alarm", "alarm_look", "plate", "hand_finding", "hazard",
    "as_left", "runner", "note",
}  # fmt: skip


def _labels(entry: Mapping[str, Any]) -> Iterable[str]:
    if "set" in entry:
        return []
    if "paint" in entry:
        return [f"{entry['paint']}/{number}" for number in entry["spaces"]]
    marks = range(1, len(entry.get("marks", ())) + 1)
    return [entry["id"], *(f"{entry['id']}/{number}" for number in marks)]


def _opening(stop: Mapping[str, Any], at: datetime) -> dict[str, Any]:
    known = ("name", "stop_kind", "room_use", "floor", "corner", "pos")
    named = {key: stop[key] for key in known if key in stop}
    return {"kind": "stop", **named, "on_site": True, "opened_at": _instant(at)}


def _instant(moment: datetime) -> str:
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
