"""The ledger said by place, in sentences, for the report's pages."""

from collections.abc import Iterable
from dataclasses import dataclass

from findings.standards.ledger import Ledger, Row
from findings.standards.loader import words_for_systems
from findings.standards.schema import Duty, Pack
from findings.standards.visit import Scope

DESK = ""


@dataclass(frozen=True, slots=True)
class PlaceCoverage:
    """What the report says of one place: sentences, and what could not be seen."""

    stop: str
    place: str
    sentences: tuple[str, ...]
    gaps: tuple[str, ...]


def by_place(ledger: Ledger) -> list[PlaceCoverage]:
    """Return the coverage place by place, in route order, the house as a whole last."""
    order = [*ledger.names, DESK]
    return [
        PlaceCoverage(
            stop=stop,
            place=ledger.names.get(stop, "The house as a whole"),
            sentences=_sentences(rows),
            gaps=_gaps(rows),
        )
        for stop in order
        if (rows := [r for r in ledger.rows if _printed(r) and r.stop == stop])
    ]


def _printed(row: Row) -> bool:
    return row.state not in ("outside_agreement", "open")


def _sentences(rows: list[Row]) -> tuple[str, ...]:
    lines = [
        f"{_lead(system)}: {listed(items)}." for system, items in _plain(rows).items()
    ]
    told = ("looked", "described", "reported")
    lines.extend(dict.fromkeys(_told(r) for r in rows if r.state in told and r.text))
    found = [r.item for r in rows if r.state == "reported"]
    if found:
        lines.append(f"Reported in the findings: {listed(found)}.")
    absent = [r.item for r in rows if r.state == "not_present"]
    if absent:
        lines.append(f"Not present: {listed(absent)}.")
    return tuple(lines)


def _plain(rows: list[Row]) -> dict[str, list[str]]:
    """Arrange what was looked at; of the whole house, system by system."""
    found: dict[str, list[str]] = {}
    for row in rows:
        if row.state == "looked" and not row.text:
            key = row.system if row.stop == DESK else ""
            found.setdefault(key, []).append(row.item)
    return found


def _lead(system: str) -> str:
    said = "looked at, nothing noted"
    return opened(f"{called(system)}, {said}" if system else said)


def called(system: str) -> str:
    """Return a system's plain name."""
    return words_for_systems().get(system, system.replace("_", " "))


def _told(row: Row) -> str:
    """Say a text; a person's own words stand after what they are about."""
    return f"{opened(row.item)}: {row.text}" if row.said else row.text


def _gaps(rows: list[Row]) -> tuple[str, ...]:
    reasons: dict[str, list[str]] = {}
    for row in rows:
        if row.state == "not_inspected":
            reasons.setdefault(row.text.rstrip("."), []).append(row.item)
    return tuple(
        f"Not inspected: {listed(items)}. {opened(reason)}."
        for reason, items in reasons.items()
    )


def closing_words(duty: Duty) -> str:
    """Say what a look closes; a condition's own text says what to do if it is met."""
    return f"{opened(duty.item)}." if duty.condition else duty.text


def opened(text: str) -> str:
    """Begin a sentence with a capital."""
    return text[:1].upper() + text[1:]


def listed(items: Iterable[str]) -> str:
    """Join names as "a, b and c", each once."""
    names = list(dict.fromkeys(items))
    if len(names) < 2:  # noqa: PLR2004 (a list needs two)
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def outside(ledger: Ledger) -> tuple[str, ...]:
    """Return the systems that the agreement leaves out, in plain names."""
    systems = [r.system for r in ledger.rows if r.state == "outside_agreement"]
    return tuple(called(s) for s in dict.fromkeys(systems))


def limited_sentence(pack: Pack, scope: Scope) -> str:
    """Say that a visit was limited; empty when it took in every system."""
    if not scope.limited(pack):
        return ""
    kept = [called(s) for s in pack.systems() if scope.covers(s)]
    return f"This was a limited inspection. It took in only: {listed(kept)}."
