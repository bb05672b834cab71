"""One stop: what to look at, what was recorded and means, its photos, what is open."""

from __future__ import annotations

from dataclasses import replace
from typing import Final
from uuid import UUID

from findings.selectors.field import offers, quieting
from findings.selectors.field.ground import Ground, Record, new_id, place_words
from findings.selectors.field.item_search import narrowed
from findings.selectors.field.live import spoken_of
from findings.selectors.field.panel import panel_facts
from findings.selectors.field.routes import items, value_words
from findings.selectors.field.rows import ItemRow, StopPage
from findings.selectors.field.said import entry_rows, title_of, value_of
from findings.selectors.field.walk import name_of
from findings.selectors.review_photos import photo_rows
from findings.standards.ledger import OpenLine as LedgerLine
from inspections.access import may_record
from inspections.selectors.rows import FactRow, OpenLine, PhotoRow

SHORT: Final = 40  # what fits on a key of a phone


def stop_page(base: Ground, stop_id: UUID, about: str = "", find: str = "") -> StopPage:
    """Return a stop's page; `about` is the record that a new photo will show.

    `find` narrows its items to those that what was typed may mean.
    """
    key, stop = str(stop_id), base.of("stop", stop_id)
    offered = offers.at_stop(base, key)
    waiting = offers.waiting(base, offered)
    open_ones = quieting.loud(base, waiting)
    may = may_record(base.actor, base.visit)
    following = next_stop(base, key)
    rows = narrowed(item_rows(base, key, stop), find) if may else ()
    return StopPage(
        head=base.head,
        stop_id=key,
        number=number_of(base, key),
        name=name_of(stop),
        place=place_words(stop),
        items=tuple(row for row in rows if not row.measured),
        measured=tuple(row for row in rows if row.measured),
        find=find,
        entries=entry_rows(base, key),
        proposals=offers.rows(base, open_ones, key, offers.now),
        about_age=offers.rows(base, open_ones, key, offers.of_age),
        repeats=quieting.rows(base, waiting, key),
        decided=offers.decided(base, offered),
        choices=offers.choices(base),
        photos=photos_at(base, key),
        open_lines=open_lines(base, key),
        panels=_panels(base, key, stop, may=may),
        receptacles=_receptacles(base, key, stop),
        method=_method(base, key, stop),
        cautions=items().cautions.get(str(stop.get("stop_kind")), ()),
        closed=closed_words(base, stop),
        shown=base.shown,
        may_write=may,
        **_addresses(base, key, about, may=may),
        next_url=base.url("stop-read", following[0]) if following else "",
        next_name=name_of(following[1]) if following else "",
    )


def number_of(base: Ground, stop: str) -> int:
    return [key for key, _ in base.stops()].index(stop) + 1


def next_stop(base: Ground, stop: str) -> tuple[str, Record] | None:
    """Return the stop after this one on the route."""
    route = base.stops()
    at = number_of(base, stop)
    return route[at] if at < len(route) else None


def photos_at(base: Ground, stop: str) -> tuple[PhotoRow, ...]:
    rows = photo_rows(base.actor, base.visit, base.records)
    here = [key for key, record in base.at(stop, "photo")]
    return tuple(
        replace(row, words_url=base.url("entry-write", key))
        for key, row in rows.items()
        if key in here
    )


def open_lines(base: Ground, stop: str) -> tuple[OpenLine, ...]:
    """Return what the state's standard still asks of this stop."""
    return tuple(open_row(base, line) for line in base.seen.ledger.open(stop))


def open_row(base: Ground, line: LedgerLine) -> OpenLine:
    """Return an open duty with the page on which it is answered."""
    text = f"{line.item[:1].upper()}{line.item[1:]}: {line.hint}"
    return OpenLine(text, duty_url(base, line), needs_feet=line.needs_feet)


def duty_url(base: Ground, line: LedgerLine) -> str:
    route = base.stops()
    stop = line.stop if line.stop in base.records else route[-1][0] if route else ""
    if not stop:
        return ""
    counted = base.seen.pack.duty(line.duty).count
    if counted and counted.tried == "receptacles_tried":
        return base.url("receptacle-walk", stop)
    if counted:
        return base.url("item-write", stop, "lights_switches")
    return base.url("item-write", stop, f"duty:{line.duty}")


def item_rows(base: Ground, stop: str, record: Record) -> tuple[ItemRow, ...]:
    """Return the keys of a stop; objects that rules read by name are `measured`."""
    kind, use = str(record.get("stop_kind")), str(record.get("room_use"))
    spoken = spoken_of(base.seen.rules)
    return tuple(
        ItemRow(
            key=key,
            label=items().items[key].label,
            url=base.url("item-write", stop, key),
            noted=_noted(base, stop, key),
            measured=items().items[key].record in spoken,
        )
        for key in items().of_stop(kind, use)
    )


def closed_words(base: Ground, stop: Record) -> str:
    if not stop.get("closed_at"):
        return ""
    minutes = stop.get("closed_minutes")
    took = f", {minutes} minute{'' if minutes == 1 else 's'}" if minutes else ""
    return f"Closed at {base.clock(stop['closed_at'])}{took}."


def _noted(base: Ground, stop: str, key: str) -> str:
    item = items().items[key]
    if item.record in {"stop", "visit"}:
        record = base.records.get(stop, {})
        return _counts(record) if key == "lights_switches" else ""
    found = [
        record
        for _, record in base.at(stop, item.record)
        if item.record not in {"observation", "measure"}
        or record.get("item") == (item.item or key)
    ]
    if not found:
        return ""
    if len(found) > 1:
        return f"{len(found)} entries"
    words = value_of(found[0])
    return words if len(words) <= SHORT else "1 entry"


def _counts(record: Record) -> str:
    lights, switches = record.get("lights_tried"), record.get("switches_tried")
    if lights is None and switches is None:
        return ""
    return f"{lights or 0} and {switches or 0}"


def _panels(
    base: Ground, stop: str, record: Record, *, may: bool
) -> tuple[FactRow, ...]:
    rows = [
        FactRow(
            str(panel.get("name") or title_of(panel)),
            panel_facts(base, key, panel),
            url=base.url("panel-map", key),
        )
        for key, panel in base.at(stop, "enclosure")
    ]
    if may and record.get("stop_kind") in items().enclosure_kinds:
        label = "Another panel or shut-off" if rows else "A panel or shut-off"
        new = base.url("enclosure-write", new_id())
        rows.append(FactRow(label, "draw it", url=f"{new}?stop={stop}"))
    return tuple(rows)


def _receptacles(base: Ground, stop: str, record: Record) -> FactRow | None:
    if record.get("stop_kind") not in items().receptacle_kinds:
        return None
    url = base.url("receptacle-walk", stop)
    odd = len(base.at(stop, "receptacle"))
    tried = record.get("receptacles_tried")
    if tried is None and not odd:
        return FactRow("Receptacles", "not tried yet", url=url)
    words = [f"tried {tried or 0}"]
    if record.get("receptacles_seen") is not None:
        words[0] += f" of {record['receptacles_seen']}"
    if record.get("receptacles_correct") is not None:
        words.append(f"{record['receptacles_correct']} correct")
    if odd:
        words.append(f"{odd} written down")
    return FactRow("Receptacles", ", ".join(words), url=url)


def _method(base: Ground, stop: str, record: Record) -> FactRow | None:
    if record.get("stop_kind") not in items().method_kinds:
        return None
    how = value_words(record["method"]) if record.get("method") else "say how"
    if record.get("method_reason"):
        how += f": {record['method_reason']}"
    return FactRow(
        "How it was looked at", how, url=base.url("item-write", stop, "method")
    )


def _addresses(base: Ground, stop: str, about: str, *, may: bool) -> dict[str, str]:
    leave = {"leave_url": base.url("stop-leave", stop)}
    if not may:
        return leave
    tied = f"?about={about}" if about in base.records else ""
    return leave | {
        "hazard_url": base.url("hazard-write", stop),
        "limit_url": base.url("limit-write", stop),
        "note_url": base.url("stop-note", stop),
        "photo_url": base.url("photo-add", stop) + tied,
    }
