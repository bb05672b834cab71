"""The panel map: an enclosure drawn as it is, its spaces, what each one means."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID, uuid5

from django.http import Http404

from findings.rules.meaning import Meaning, Reader
from findings.selectors.field import offers, quieting
from findings.selectors.field.ground import Ground, Record
from findings.selectors.field.live import live
from findings.selectors.field.routes import labels, value_words
from findings.selectors.field.rows import PanelPage, SpacePage, SpaceRow
from findings.selectors.review_photos import photo_rows
from inspections.access import may_record
from inspections.selectors.rows import FactRow, PhotoRow

BRUSHES: Final = (
    ("15-14-copper", "15 A · 14 copper"),
    ("20-12-copper", "20 A · 12 copper"),
    ("30-10-copper", "30 A · 10 copper"),
    ("open", "open"),
    ("blank_filler", "filler"),
    ("not_read", "not read"),
)
IN_USE: Final = frozenset({"breaker", "fuse", "pull_out"})
EMPTY: Final = {"blank_filler": "filler", "open": "open", "not_read": "not read"}
MOST_SPACES: Final = 84
ROLES: Final = {
    "service_disconnect": "Service disconnect: neutral and ground are joined here",
    "fed_from_panel": "Fed from another panel: neutral and ground are kept apart",
    "not_known": "Its role is not known yet",
}
PROTECTS: Final = {
    "gfci": "ground fault",
    "afci": "arc fault",
    "dual": "arc and ground fault",
}
COUNTS: Final = {2: "two", 3: "three", 4: "four"}
FACTS: Final = (
    "location", "main_amps", "bus_amps", "conductor_size", "neutral_and_ground",
    "antioxidant", "cover", "cover_removed", "cover_reason", "labels",
    "openings_unfilled", "working_width_in", "working_depth_in",
)  # fmt: skip
OWN_WORDS: Final = {
    "location": "Where",
    "main_amps": "Main device",
    "bus_amps": "Bus",
    "conductor_size": "Conductors to it",
    "neutral_and_ground": "Neutral and ground",
    "antioxidant": "Antioxidant",
    "cover": "Cover",
    "cover_removed": "The cover was",
    "cover_reason": "Because",
    "labels": "Labels",
    "openings_unfilled": "Openings nothing fills",
    "working_width_in": "Clear width",
    "working_depth_in": "Clear depth",
}
UNIT: Final = {
    "main_amps": "A", "bus_amps": "A", "working_width_in": "in",
    "working_depth_in": "in",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Drawn:
    """An enclosure with its spaces by number and the reader of their meanings."""

    base: Ground
    key: str
    record: Record
    spaces: Mapping[int, tuple[str, Record]]
    reader: Reader

    @property
    def two_columns(self) -> bool:
        return int(self.record.get("columns") or 2) != 1

    @property
    def most(self) -> int:
        """Return the highest number that is drawn."""
        said = int(self.record.get("spaces") or 0)
        return min(MOST_SPACES, max([said, *self.spaces]))

    def covered(self, number: int) -> tuple[int, ...]:
        """Return the numbers that the device at a number takes up."""
        poles = int(self.spaces.get(number, ("", {}))[1].get("poles") or 1)
        step = 2 if self.two_columns else 1
        reach = [number + step * pole for pole in range(poles)]
        return tuple(one for one in reach if one <= max(self.most, number))


@dataclass(frozen=True, slots=True)
class Paint:
    """What a brush writes, and the spaces it goes over."""

    fields: Mapping[str, Any]
    spaces: tuple[int, ...] | list[int]

    @classmethod
    def of_brush(cls, brush: str, how: str, spaces: list[int]) -> Paint:
        """Return the paint of a brush such as "15-14-copper" or "open"."""
        if brush in EMPTY:
            return cls({"space_kind": brush}, spaces)
        amps, size, material = brush.split("-")
        wire = {"amps": int(amps), "size": size, "material": material}
        return cls({"space_kind": "breaker", "how": how or None, **wire}, spaces)


def painted(
    base: Ground, enclosure_id: UUID, paint: Paint
) -> list[tuple[str, dict[str, Any]]]:
    """Return the records that painting writes, each with its fields."""
    panel = drawn(base, enclosure_id)
    return [
        (
            space_id(panel, number),
            {"enclosure": panel.key, "number": number, **paint.fields},
        )
        for number in paint.spaces
    ]


def space_record(base: Ground, enclosure_id: UUID, number: int) -> tuple[str, Record]:
    """Return a space's record id and what is known of it."""
    panel = drawn(base, enclosure_id)
    return space_id(panel, number), panel.spaces.get(number, ("", {}))[1]


def drawn(base: Ground, enclosure_id: UUID | str) -> Drawn:
    """Return an enclosure as it is drawn. Raises Http404."""
    key = str(enclosure_id)
    record = base.of("enclosure", key)
    spaces = {
        int(space["number"]): (rec, space)
        for rec, space in sorted(base.seen.of_kind("space"))
        if space.get("enclosure") == key and space.get("number")
    }
    reader = Reader(base.records, base.seen.conflicts, base.seen.rules)
    return Drawn(base, key, record, spaces, reader)


def panel_page(base: Ground, enclosure_id: UUID, *, painting: bool) -> PanelPage:
    panel = drawn(base, enclosure_id)
    key, record = panel.key, panel.record
    columns = column_rows(panel)
    done = record.get("map_done") is True
    offered = offers.about_panel(base, key) if done else []
    waiting = offers.waiting(base, offered)
    open_ones = quieting.loud(base, waiting)
    stop = str(record.get("stop") or "")
    stop_url = base.url("stop-read", stop) if stop in base.records else base.head.url
    return PanelPage(
        head=base.head,
        stop_name=base.seen.stop_name(stop) or "the visit",
        stop_url=stop_url,
        enclosure_id=key,
        name=str(record.get("name") or "Panel"),
        role=ROLES.get(str(record.get("role")), "Its role is not written yet"),
        columns=columns,
        top=_top(record),
        bottom=_bottom(record),
        facts=_facts(base, key, record),
        meanings=_meanings(panel),
        photos=_photos(base, key),
        painting=painting,
        paint_url=base.url("space-paint", key),
        map_url=base.url("panel-map", key),
        facts_url=base.url("enclosure-write", key),
        done_url=base.url("panel-done", key),
        photo_url=f"{stop_url}?about={key}#photo-add",
        done="The map is done; the rules have looked at it." if done else "",
        not_read=sum(not row.read for column in columns for row in column),
        proposals=offers.rows(base, open_ones, f"panel:{key}", offers.now),
        about_age=offers.rows(base, open_ones, f"panel:{key}", offers.of_age),
        repeats=quieting.rows(base, waiting, f"panel:{key}"),
        decided=offers.decided(base, offered),
        choices=offers.choices(base),
        shown=base.shown,
        may_write=may_record(base.actor, base.visit),
    )


def column_rows(panel: Drawn) -> tuple[tuple[SpaceRow, ...], ...]:
    """Return the drawing, top to bottom: odd numbers left and even ones right."""
    numbers = range(1, panel.most + 1)
    if not panel.two_columns:
        return (tuple(_column(panel, numbers)),)
    odd = [number for number in numbers if number % 2]
    even = [number for number in numbers if not number % 2]
    return (tuple(_column(panel, odd)), tuple(_column(panel, even)))


def space_page(base: Ground, enclosure_id: UUID, number: int) -> SpacePage:
    panel = drawn(base, enclosure_id)
    if not 1 <= number <= MOST_SPACES:
        raise Http404
    rec, _ = panel.spaces.get(number, ("", {}))
    meaning = _meaning(panel, rec)
    numbers = [row.number for column in column_rows(panel) for row in column]
    after = sorted(one for one in numbers if one > number)
    before = sorted(one for one in numbers if one < number)
    return SpacePage(
        head=base.head,
        enclosure_name=str(panel.record.get("name") or "Panel"),
        map_url=base.url("panel-map", panel.key),
        number=number,
        numbers=" and ".join(map(str, panel.covered(number) or (number,))),
        meaning=meaning.text if meaning else "",
        weighs=bool(meaning and meaning.weighs),
        earlier_url=base.url("space-write", panel.key, before[-1]) if before else "",
        later_url=base.url("space-write", panel.key, after[0]) if after else "",
        held_apart=base.apart(rec) if rec else (),
        live=_live(panel, rec),
    )


def _live(panel: Drawn, rec: str) -> dict[str, str]:
    """Return what the device needs; a feeder is judged at the panel that it feeds."""
    found = live(panel.base, "space", str(panel.record.get("stop") or ""))
    fed = {one.get("fed_by_space") for _, one in panel.base.seen.of_kind("enclosure")}
    return found | {"feeds": "yes" if rec and rec in fed else ""}


def space_id(panel: Drawn, number: int) -> str:
    """Return the record of a space; a new one has an id that a repeat finds again."""
    known = panel.spaces.get(number)
    return known[0] if known else str(uuid5(UUID(panel.key), f"space:{number}"))


def panel_facts(base: Ground, key: str, record: Record) -> str:
    """Return a panel in one line: its size, its spaces, whether its map is done."""
    mapped = sum(1 for _, s in base.seen.of_kind("space") if s.get("enclosure") == key)
    amps = record.get("main_amps") or record.get("bus_amps")
    parts = [
        f"{amps} A" if amps else "",
        f"{mapped} of {record['spaces']} spaces" if record.get("spaces") else "",
        "map done" if record.get("map_done") is True else "map not done",
    ]
    return ", ".join(filter(None, parts))


def _column(panel: Drawn, numbers: Iterable[int]) -> Iterable[SpaceRow]:
    taken: set[int] = set()
    for number in numbers:
        if number in taken:
            continue
        row = _space_row(panel, number)
        taken.update(row.numbers)
        yield row


def _space_row(panel: Drawn, number: int) -> SpaceRow:
    rec, record = panel.spaces.get(number, ("", {}))
    kind = str(record.get("space_kind") or "not_read")
    covered = panel.covered(number) or (number,)
    meaning = _meaning(panel, rec)
    told = bool(meaning and meaning.weighs) or any(
        place[0] == rec for place in panel.base.seen.conflicts
    )
    return SpaceRow(
        number=number,
        numbers=covered,
        value=_value(kind, record),
        url=panel.base.url("space-write", panel.key, number),
        span=min(len(covered), 3),
        wire=_wire(record) if kind in IN_USE else "",
        more=_more(kind, record, meaning),
        label=str(record.get("label") or ""),
        read=kind != "not_read",
        told=told,
    )


def _value(kind: str, record: Record) -> str:
    if kind in EMPTY:
        return EMPTY[kind]
    amps = f"{record['amps']} A" if record.get("amps") else "rating not read"
    return amps if kind == "breaker" else f"{amps} {value_words(kind)}"


def _wire(record: Record) -> str:
    if record.get("how") == "not_seen":
        return "wire not seen"
    parts = (record.get("size"), record.get("material"))
    return " ".join(value_words(part) for part in parts if part)


def _more(kind: str, record: Record, meaning: Meaning | None) -> str:
    if kind not in IN_USE:
        return ""
    shared = COUNTS.get(record.get("under_screw") or 0, "")
    state = record.get("state")
    words = [
        "estimated" if record.get("how") == "estimated" else "",
        f"{shared} under one screw" if shared else "",
        PROTECTS.get(str(record.get("protection")), ""),
        str(state) if state in {"off", "tripped", "damaged"} else "",
        "tandem" if record.get("tandem") else "",
        meaning.text if meaning and meaning.weighs else "",
    ]
    return "; ".join(filter(None, words))


def _meaning(panel: Drawn, rec: str) -> Meaning | None:
    """Return the gravest of what a space means; a calm one says that it fits."""
    found = panel.reader.space(rec) if rec else []
    if not found or found[0].weighs:
        return found[0] if found else None
    record = panel.base.records[rec]
    first = found[0]
    words = f"{_wire(record)}, {record.get('amps')} A: fits"
    return Meaning(words, weighs=False, rule=first.rule, subject=rec)


def _meanings(panel: Drawn) -> tuple[str, ...]:
    said = [one.text for one in panel.reader.enclosure(panel.key)]
    return tuple(f"{text[:1].upper()}{text[1:]}." for text in dict.fromkeys(said))


def _top(record: Record) -> str:
    main = record.get("main_amps")
    kind = record.get("main_kind")
    if kind == "lugs_only":
        return "lugs only, no main device"
    if not main:
        return "main device not written"
    return f"main {value_words(kind) if kind else 'device'} {main} A"


def _bottom(record: Record) -> str:
    wire = " ".join(
        value_words(record[name])
        for name in ("conductor_size", "conductor_material")
        if record.get(name)
    )
    parts = [
        f"bus {record['bus_amps']} A" if record.get("bus_amps") else "",
        f"fed by {wire}" if wire else "",
    ]
    return ", ".join(filter(None, parts)) or "bus and feeder not written"


def _facts(base: Ground, key: str, record: Record) -> tuple[FactRow, ...]:
    rows = [
        FactRow(OWN_WORDS[name], _fact_words(name, record), _how(name, record))
        for name in FACTS
        if record.get(name) not in (None, "")
    ]
    told = labels().kinds["enclosure"].fields
    rows += [
        FactRow(told[name].label, _other_words(base, record[name]))
        for name in told
        if record.get(name) not in (None, "")
    ]
    apart = [FactRow("Two devices said", text) for text in base.apart(key)]
    return (*apart, *rows) or (FactRow("Nothing yet", "write what its label says"),)


def _fact_words(name: str, record: Record) -> str:
    value = value_words(record[name])
    if name == "conductor_size" and record.get("conductor_material"):
        value = f"{value} {value_words(record['conductor_material'])}"
    return f"{value} {UNIT.get(name, '')}".strip()


def _how(name: str, record: Record) -> str:
    how = record.get("conductor_how") if name == "conductor_size" else ""
    return value_words(how) if how else ""


def _other_words(base: Ground, value: Any) -> str:
    other = base.records.get(str(value), {})
    if other.get("kind") == "enclosure":
        return str(other.get("name") or "another panel")
    if other.get("kind") == "space":
        return f"space {other.get('number')}"
    return value_words(value)


def _photos(base: Ground, key: str) -> tuple[PhotoRow, ...]:
    rows = photo_rows(base.actor, base.visit, base.records)
    return tuple(
        row for rec, row in rows.items() if base.records[rec].get("about") == key
    )
