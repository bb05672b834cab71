"""Figures that were measured, read or estimated, and the instruments behind them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from firm.models import Instrument
from reports.services.snapshot import words
from reports.services.snapshot.material import Material

Record = Mapping[str, Any]


def printed(material: Material) -> list[dict[str, Any]]:
    """Return the measurements along the route."""
    order = {key: n for n, key in enumerate(material.place_names)}
    held = sorted(
        material.seen.of_kind("measure"),
        key=lambda pair: (order[material.place_of(pair[1])], pair[0]),
    )
    return [
        _measurement(material, record)
        for _, record in held
        if record.get("value") is not None
    ]


def instruments(material: Material) -> list[dict[str, str]]:
    """Return the instruments of the register that were used on this visit."""
    used = {
        str(record.get("instrument")) for _, record in material.seen.of_kind("measure")
    }
    rows = {row.pk: row for key, row in material.instruments.items() if key in used}
    return [
        {
            "name": words.line(row.name),
            "serial": words.line(row.serial),
            "calibrated": _calibrated(row),
            "note": _note(material, row),
        }
        for row in sorted(rows.values(), key=lambda row: (row.name, str(row.pk)))
    ]


def any_indicative(material: Material) -> bool:
    return any(row["indicative"] for row in printed(material))


def _measurement(material: Material, record: Record) -> dict[str, Any]:
    named = material.instruments.get(str(record.get("instrument") or ""))
    how = str(record.get("how_known") or "estimated")
    what = str(record.get("what") or record.get("item") or "figure")
    return {
        "what": words.line(words.say("measures", what) or _label(what, record)),
        "where": words.line(_where(material, record)),
        "value_text": words.line(_value(record)),
        "instrument": words.line(named.name) if named else "",
        "how_known": how,
        "indicative": how == "measured"
        and (named is None or _out_of_date(material, named)),
    }


def _where(material: Material, record: Record) -> str:
    """Name the place, and the panel or receptacle that was measured."""
    place = material.place_name(record)
    about = material.records.get(str(record.get("about")), {})
    named = str(about.get("name") or about.get("place") or "")
    return f"{place}, {named}" if named and named != place else place


def _label(what: str, record: Record) -> str:
    """Return a key as words, without the unit that ends it."""
    unit = str(record.get("unit") or "").replace("/", "_").lower()
    plain = what.lower().removesuffix(f"_{unit}") if unit else what
    return words.capital(words.plainly(plain))


def _value(record: Record) -> str:
    unit = words.say("units", record.get("unit"), str(record.get("unit") or ""))
    glue = "" if unit == "%" else " "
    return f"{record['value']}{glue}{unit}".strip()


def _out_of_date(material: Material, row: Instrument) -> bool:
    until = row.calibrated_until
    return until is not None and until < material.visited_on


def _calibrated(row: Instrument) -> str:
    until = row.calibrated_until
    return f"calibrated until {until:%B} {until.day}, {until.year}" if until else ""


def _note(material: Material, row: Instrument) -> str:
    if _out_of_date(material, row):
        return "out of date on the day; its figures are indicative"
    return ""
