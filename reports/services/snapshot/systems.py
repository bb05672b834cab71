"""Systems: what they are made of, what was counted, and where their findings stand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from findings.standards import counting
from findings.standards.coverage import by_place
from findings.standards.ledger import Tally
from findings.standards.loader import words_for_values
from findings.standards.schema import Duty
from reports.services.snapshot import words
from reports.services.snapshot.findings import Numbered
from reports.services.snapshot.material import Material


def printed(material: Material, numbered: Numbered) -> list[dict[str, Any]]:
    """Return the systems of the pack in its order, then any other with a finding."""
    keys = [
        *(s for s in material.seen.pack.systems() if material.seen.scope.covers(s)),
        *(entry.row.system for entry in numbered.entries),
    ]
    systems = [_system(material, numbered, key) for key in dict.fromkeys(keys)]
    parts = ("described", "looked", "counts", "findings")
    return [one for one in systems if any(one[part] for part in parts)]


def _system(material: Material, numbered: Numbered, key: str) -> dict[str, Any]:
    return {
        "key": key,
        "label": words.system_label(key),
        "described": _described(material, key),
        "looked": _looked(material, key),
        "counts": list(_counts(material, key)),
        "findings": [e.id for e in numbered.entries if e.row.system == key],
    }


def _described(material: Material, key: str) -> list[dict[str, str]]:
    found: dict[str, list[str]] = {}
    for row in material.rows:
        duty = material.seen.pack.duty(row.duty)
        said = row.state in ("described", "reported") and row.text
        if row.system == key and duty.duty == "describe" and said:
            found.setdefault(words.capital(row.item), []).append(row.text)
    more = _electrical(material) if key == "electrical" else ()
    for label, text in [*more, *_plates(material, key)]:
        found.setdefault(label, []).append(text)
    return [
        {"label": words.line(label), "text": " ".join(dict.fromkeys(texts))}
        for label, texts in found.items()
    ]


def _looked(material: Material, key: str) -> list[str]:
    """Return what holds for the house as a whole, in sentences."""
    rows = [
        row
        for row in material.rows
        if row.system == key
        and not row.stop
        and not _said_elsewhere(material, row.duty)
    ]
    # Under a heading of its own the system is not named again.
    named = material.ledger((replace(row, stop=key) for row in rows), {key: key})
    return [
        words.sentence(text) for place in by_place(named) for text in place.sentences
    ]


def _said_elsewhere(material: Material, duty_id: str) -> bool:
    duty = material.seen.pack.duty(duty_id)
    by_method = any(answer.record == "stop" for answer in duty.answered_by)
    return duty.duty == "describe" or duty.tested is not None or by_method


def _counts(material: Material, key: str) -> Iterator[str]:
    ledger = material.ledger(material.rows)
    asked = {row.duty for row in material.rows if row.state != "outside_agreement"}
    for duty in material.seen.pack.duties:
        if duty.system == key and duty.id in asked and (duty.count or duty.tested):
            tally = ledger.tally(duty.id)
            if tally.tried or tally.total:
                yield _count(material, duty, tally)


def _count(material: Material, duty: Duty, tally: Tally) -> str:
    of = f" of {tally.total}" if tally.total else ""
    where = _where(material, duty, tally)
    return f"{words.capital(duty.item)}: tried {tally.tried}{of}{where}."


def _where(material: Material, duty: Duty, tally: Tally) -> str:
    """Say in how many places a count holds where it is not that of the whole house."""
    if duty.count is None or tally.total is None:
        return ""
    whole = counting.of_house(material.seen.records, duty.count)
    if whole == (tally.tried, tally.total):
        return ""
    places = "the one place" if tally.places == 1 else f"the {tally.places} places"
    asked = "every one is" if duty.count.rule == "every" else "they are"
    return f", in {places} where {asked} asked for"


def _electrical(material: Material) -> Iterator[tuple[str, str]]:
    """Describe what no duty of the pack asks for but the visit recorded."""
    wiring = [record for _, record in material.seen.of_kind("branch_wiring")]
    texts = dict.fromkeys(filter(None, map(_wiring, wiring)))
    if texts:
        yield "Branch wiring", words.sentence("; ".join(texts))
    for _, record in material.seen.of_kind("enclosure"):
        name = str(record.get("name") or "Panel")
        if record.get("role") == "service_disconnect" and record.get("main_kind"):
            amps = f"{record['main_amps']} A " if record.get("main_amps") else ""
            kind = words.say("main_kinds", record["main_kind"])
            yield "Main disconnect", words.sentence(f"{name}: {amps}{kind}")
        if record.get("gec_material") or record.get("gec_size"):
            size = f"size {record['gec_size']}" if record.get("gec_size") else ""
            text = " ".join([size, *_values(record, "gec_material")])
            yield "Conductor to the grounding electrode", words.sentence(text)


def _plates(material: Material, key: str) -> Iterator[tuple[str, str]]:
    """Describe equipment by its plate: what it is and when it was made."""
    system_of = {
        item: duty.system
        for duty in reversed(material.seen.pack.duties)
        for item in duty.items
    }
    for _, record in material.seen.of_kind("plate"):
        item = str(record.get("item") or "")
        if system_of.get(item) == key and (text := _plate(record)):
            yield f"{words.capital(words.plainly(item))}, by its plate", text


def _plate(record: Mapping[str, Any]) -> str:
    parts = [
        " ".join(str(record[f]) for f in ("maker", "model") if record.get(f)),
        f"serial {record['serial']}" if record.get("serial") else "",
        f"made {record['made_year']}" if record.get("made_year") else "",
        str(record.get("text") or ""),
    ]
    return words.sentence("; ".join(part for part in parts if part))


def _wiring(record: Mapping[str, Any]) -> str:
    material = " ".join(_values(record, "stranding", "material"))
    method = words.say("wiring_methods", record.get("method"))
    return f"{material} in {method}" if material and method else material or method


def _values(record: Mapping[str, Any], *fields: str) -> list[str]:
    plain = words_for_values()
    return [plain.get(str(record[f]), str(record[f])) for f in fields if record.get(f)]
