"""When which edition took effect in a state, and where a county or city differs."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any

from findings import kept
from findings.rules.era import Dates, Line
from findings.rules.rule import PROVENANCE
from findings.rules.schema import Reader
from findings.rules.yamlfile import FIXTURES, Mapping, RuleFileError, named, read

FOLDER = FIXTURES / "timelines"
NEC = "nec"
COUNTIES = ("county", "parish", "borough")
KEYS = ("schema", "place", "name", "known_until", "lines", "amendments", "local")


@dataclass(frozen=True)
class Local:
    """A line of one county or city, for a family of codes or one topic of it."""

    place: str
    line: Line
    code: str = NEC
    topic: str = ""


@dataclass(frozen=True)
class Timeline:
    """The lines of one state, each with its source and the family it speaks of."""

    place: str
    lines: tuple[Line, ...]
    known_until: str = ""
    amendments: dict[str, str] | None = None
    families: dict[str, tuple[Line, ...]] = field(default_factory=dict)
    local: tuple[Local, ...] = ()

    def dates(
        self,
        dates: Dates,
        topic: str,
        code: str = NEC,
        places: Iterable[str] = (),
    ) -> Dates:
        """Give the dates of an item, with what the place says of the topic.

        A line speaks only to rules of its own family of codes. What a county or city
        says of a topic stands before what it says of all, and both before the state.
        """
        own = self.lines if code == NEC else self.families.get(code, ())
        here = [
            one for one in self.local if one.code == code and _same(one.place, places)
        ]
        topical = tuple(one.line for one in here if one.topic == topic)
        general = tuple(one.line for one in here if not one.topic)
        amendment = None if topical else (self.amendments or {}).get(topic)
        if not own and not here and amendment is None:
            return dates
        return replace(
            dates,
            adoption=own,
            local=tuple(lines for lines in (topical, general) if lines),
            known_until=self.known_until,
            amendment=amendment,
            place=self.place,
        )


def _same(place: str, places: Iterable[str]) -> bool:
    return any(_bare(place) == _bare(one) for one in places if one)


def _bare(place: str) -> str:
    # "Orange" is a city, "Orange County" is not; "St. Clair" and "St Clair" are one.
    return " ".join(place.casefold().replace(".", " ").split())


def places_of(city: object, county: object) -> tuple[str, ...]:
    """Give the names under which a property's city and county are looked up."""
    names = [str(city or "").strip()]
    own = str(county or "").strip()
    if own:
        named_so = own.casefold().rsplit(" ", 1)[-1] in COUNTIES
        names += [own] if named_so else [f"{own} {kind}" for kind in COUNTIES]
    return tuple(name for name in names if name)


@cache
def timeline(place: str) -> Timeline | None:
    """Give the sourced timeline of a state such as "NC", or None when there is none.

    Where its file is broken, the last good one stays in force.
    """
    path = FOLDER / f"{place.lower()}.yaml"
    if not place.isalnum() or not path.exists():
        return None
    return kept.last_good(f"timeline-{place.lower()}", path, load)


def states() -> list[str]:
    """Give the states that have a timeline."""
    return sorted(path.stem.upper() for path in FOLDER.glob("*.yaml"))


def load(path: Path) -> Timeline:
    """Read one file. Raises RuleFileError naming file, line and key."""
    reader = Reader(named(path), None)
    where = reader.known_keys(read(path), KEYS, "file")
    families: dict[str, list[Line]] = {NEC: []}
    for raw in _listed(reader, where, "lines"):
        code, line = _line(reader, where, raw)
        families.setdefault(code, []).append(line)
    return Timeline(
        place=reader.word(where, "place"),
        lines=tuple(families.pop(NEC)),
        known_until=reader.word(where, "known_until"),
        amendments=_amendments(reader, where),
        families={code: tuple(lines) for code, lines in families.items()},
        local=tuple(
            _local(reader, where, raw) for raw in _listed(reader, where, "local")
        ),
    )


def _listed(reader: Reader, where: Mapping, key: str) -> list[Any]:
    value = where.get(key) or []
    if not isinstance(value, list):
        raise reader.fail(where, key, "is not a list")
    return value


def _amendments(reader: Reader, where: Mapping) -> dict[str, str]:
    raw = where.get("amendments")
    if raw is None:
        return {}
    inner = reader.known_keys(raw, raw, "amendments", where)
    return {name: reader.word(inner, name) for name in inner}


def _line(reader: Reader, inside: Mapping, raw: Any) -> tuple[str, Line]:
    allowed = ("edition", "effective", "code", "source", "provenance", "note")
    where = reader.known_keys(raw, allowed, "lines", inside)
    _sourced(reader, where)
    year, day = _year(reader, where, "edition"), _day(reader, where, "effective")
    return reader.word(where, "code") or NEC, Line(year, day, where["source"])


def _local(reader: Reader, inside: Mapping, raw: Any) -> Local:
    allowed = ("place", "code", "topic", "year", "from", "source", "provenance", "note")
    where = reader.known_keys(raw, allowed, "local", inside)
    _sourced(reader, where)
    place = reader.word(where, "place")
    if not place:
        raise reader.fail(where, "place", "names no county or city")
    year, day = _year(reader, where, "year"), _day(reader, where, "from")
    return Local(
        place=place,
        line=Line(year, day, where["source"], place),
        code=reader.word(where, "code") or NEC,
        topic=reader.word(where, "topic"),
    )


def _sourced(reader: Reader, where: Mapping) -> None:
    if not where.get("source"):
        raise RuleFileError(reader.path, where.line, "source", "is missing")
    reader.word(where, "provenance", PROVENANCE)


def _year(reader: Reader, where: Mapping, key: str) -> int:
    value = where.get(key)
    if isinstance(value, bool) or not isinstance(value, int):
        raise reader.fail(where, key, f"{value!r} is not a year")
    return value


def _day(reader: Reader, where: Mapping, key: str) -> str:
    value = str(where.get(key))
    parts = value.split("-")
    if [len(part) for part in parts] != [4, 2, 2] or not "".join(parts).isdigit():
        raise reader.fail(where, key, f"{value!r} is not a day such as 2021-11-01")
    return value
