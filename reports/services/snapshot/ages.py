"""Equipment by its plate: its age beside the years that a study calls usual."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from findings.rules.loader import ruleset
from reports.services.snapshot import words
from reports.services.snapshot.material import Material

RULE: Final = "life.plate"
TABLE: Final = "service_life"


def printed(material: Material) -> dict[str, Any]:
    """Return the ages, oldest first, with where the ranges come from.

    A year after the visit is a contradiction for the inspector, never an age.
    """
    rows = sorted(_rows(material), key=lambda row: (-row["years"], row["what"]))
    if not rows:
        return {"ages": [], "ages_source": ""}
    source = ruleset().tables.by_id[TABLE].source
    return {"ages": rows, "ages_source": words.line(words.capital(source))}


def _rows(material: Material) -> Iterator[dict[str, Any]]:
    names = _components()
    for _, record in sorted(material.seen.of_kind("plate"), key=lambda pair: pair[0]):
        made, item = record.get("made_year"), str(record.get("item") or "")
        usual = ruleset().tables.by_id[TABLE].find([names.get(item, item)])
        if not isinstance(made, int) or usual is None:
            continue
        years = material.visited_on.year - made
        if years < 0:
            continue
        place = material.place_of(record)
        yield {
            "what": words.capital(words.plainly(item)),
            "place": words.line(material.place_names.get(place, "")),
            "made_year": made,
            "years": years,
            "low": int(usual["low"]),
            "high": int(usual["high"]),
        }


def _components() -> Mapping[str, str]:
    """Return what the rule calls each item of a plate: one list for both."""
    binds = ruleset().rules[RULE].binds
    known = binds.inputs["component"].words if binds else None
    return {str(item): str(name) for item, name in (known or {}).items()}
