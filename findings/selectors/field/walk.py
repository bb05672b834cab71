"""The visit by stop: its route, the card of the arrival, what runs, what is apart."""

from __future__ import annotations

from collections import Counter
from typing import Any, Final

from findings.selectors.field import offers
from findings.selectors.field.ground import Ground, Record, place_words
from findings.selectors.field.routes import labels, route, value_words
from findings.selectors.field.rows import RunnerRow, StopRow, VisitPage
from findings.selectors.field.said import entry_url, title_of
from findings.selectors.withdrawn import withdrawn
from inspections.access import may_record
from inspections.selectors.rows import FactRow

ARRIVAL: Final = (
    "weather_now", "rain_three_days", "ground", "temp_out_f", "temp_in_f", "occupied",
    "front_faces", "built_year",
)  # fmt: skip


def visit_page(base: Ground) -> VisitPage:
    stops = stop_rows(base)
    may = may_record(base.actor, base.visit)
    return VisitPage(
        head=base.head,
        stops=stops,
        arrival=arrival_facts(base) if stops else (),
        runners=runner_rows(base),
        hazards=tuple(_hazard(base, r) for _, r in base.seen.of_kind("hazard")),
        urgent_url=base.url("urgent-list"),
        held_apart=held_apart(base),
        withdrawn=withdrawn(base.actor, base.visit),
        leave_url=base.url("visit-leave") if stops else "",
        start_url=base.url("visit-start") if may and not stops else "",
    )


def stop_rows(base: Ground) -> tuple[StopRow, ...]:
    """Return the route; the first stop not closed is where the inspector is."""
    stops = base.stops()
    lines = Counter(line.stop for line in base.seen.ledger.open())
    lines.update(_undecided(base))
    here = next((key for key, stop in stops if not stop.get("closed_at")), "")
    return tuple(
        StopRow(
            stop_id=key,
            number=number,
            name=name_of(stop),
            note=place_words(stop),
            state=_state(base, stop, lines[key]),
            url=base.url("stop-read", key),
            has_open=bool(lines[key] and stop.get("closed_at")),
            here=key == here,
        )
        for number, (key, stop) in enumerate(stops, 1)
    )


def runner_rows(base: Ground) -> tuple[RunnerRow, ...]:
    return tuple(
        RunnerRow(
            what=str(record.get("what") or "Something"),
            place=base.seen.stop_name(record.get("stop")) or "the house",
            since=base.clock(record.get("started_at")),
            ring=base.clock(record.get("ring_at")),
            url=entry_url(base, key),
        )
        for key, record in base.seen.of_kind("runner")
        if not record.get("ended_at")
    )


def held_apart(base: Ground) -> tuple[FactRow, ...]:
    """Return every field that two devices filled differently."""
    rows = []
    for (rec, field), values in sorted(base.seen.conflicts.items()):
        record = base.records.get(rec, {})
        place = base.seen.stop_name(base.stop_of(record))
        parts = (place, title_of(record), _label(record, field))
        label = ", ".join(filter(None, parts))
        said = " or ".join(map(value_words, values))
        rows.append(FactRow(label, said, url=_settle_url(base, rec, field)))
    return tuple(rows)


def arrival_facts(base: Ground) -> tuple[FactRow, ...]:
    told = labels().kinds["visit"].fields
    url = base.url("entry-write", str(base.visit.pk))
    facts = [
        FactRow(told[name].label, value_words(base.own[name]), url=url)
        for name in ARRIVAL
        if base.own.get(name) is not None
    ]
    present = _attended(base.own.get("attended"))
    if present:
        facts.append(FactRow("Attended", present))
    return tuple(facts) or (FactRow("Weather, people", "not written yet", url=url),)


def name_of(stop: Record) -> str:
    return str(stop.get("name") or "A stop without a name")


def counts_asked() -> list[tuple[str, str, int, int]]:
    """Return (key, name, usual, most) of what a new route asks numbers for."""
    return [(one.key, one.name, one.usual, one.most) for one in route().asked()]


def _undecided(base: Ground) -> Counter[str]:
    found: Counter[str] = Counter()
    for key, _ in base.stops():
        found[key] = sum(
            1
            for one in offers.waiting(base, offers.at_stop(base, key))
            if one.consequence
        )
    return found


def _state(base: Ground, stop: Record, lines: int) -> str:
    still = f"{lines} open" if lines else ""
    if stop.get("closed_at"):
        closed = f"closed {base.clock(stop['closed_at'])}"
        return f"{closed}, {still}" if still else closed
    if stop.get("opened_at"):
        return f"begun {base.clock(stop['opened_at'])}"
    return still


def _hazard(base: Ground, record: Record) -> str:
    told = f" Told: {record['told']}" if record.get("told") else ""
    at = f", {base.clock(record['told_at'])}" if record.get("told_at") else ""
    off = f" Left off: {record['left_off']}." if record.get("left_off") else ""
    what = str(record.get("what") or "Something that could hurt a person").rstrip(".")
    return f"{what}.{told}{at}{'.' if told else ''}{off}"


def _label(record: Record, field: str) -> str:
    told = labels().kinds.get(str(record.get("kind")))
    known = told.fields.get(field) if told else None
    return known.label.lower() if known else field.replace("_", " ")


def _settle_url(base: Ground, rec: str, field: str) -> str:
    record = base.records.get(rec, {})
    if record.get("kind") != "stop":
        return entry_url(base, rec)
    if field.startswith("receptacles_"):
        return base.url("receptacle-walk", rec)
    return base.url("entry-write", rec)


def _attended(people: Any) -> str:
    if not isinstance(people, list):
        return ""
    named = [one for one in people if isinstance(one, dict) and one.get("name")]
    return ", ".join(f"{one['name']} ({one.get('as') or 'other'})" for one in named)
