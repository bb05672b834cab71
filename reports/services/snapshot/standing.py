"""What was told, left and warned of, and what the firm says of itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from findings.standards import coverage, statements
from findings.wording import texts
from firm.models import Role
from reports.services.snapshot import figures, people, photos, words
from reports.services.snapshot.findings import Numbered
from reports.services.snapshot.material import Material

# Claims about money and interests: printed only where the firm has said that they hold.
FIRM_SAYS: Final = ("agent", "referral", "no_repairs")


def told(material: Material) -> list[dict[str, str]]:
    """Return what people said on the day: told, not checked."""
    rows = []
    for record in _of_kind(material, "told"):
        parts = [str(record.get(name) or "").strip() for name in ("text", "promised")]
        if text := " ".join(words.sentence(part) for part in parts if part):
            to = words.line(record.get("present") or "")
            by = words.line(material.visit.inspector.name)
            rows.append({"text": text, "by": by, "to": to})
    heard = [
        {"text": words.sentence(str(record["text"]))}
        for record in _of_kind(material, "observation")
        if record.get("how_known") == "told" and record.get("text")
    ]
    return [*rows, *heard]


def urgent(material: Material, numbered: Numbered) -> list[dict[str, Any]]:
    """Return what was told without waiting for the report."""
    rows = []
    for key, record in sorted(material.seen.of_kind("hazard"), key=lambda p: p[0]):
        when = words.moment(record.get("told_at"))
        rows.append(
            {
                "what": words.sentence(str(record.get("what") or "")),
                "told": words.line(record.get("told") or ""),
                "told_local": words.day_and_clock(when, material.zone) if when else "",
                "left_off": words.line(record.get("left_off") or ""),
                "finding": numbered.first_about(key),
            }
        )
    return [row for row in rows if row["what"]]


def as_left(material: Material) -> list[dict[str, Any]]:
    return [
        {
            "what": words.line(record.get("what") or "Something"),
            "found": words.line(record.get("found") or ""),
            "left": words.line(record.get("left") or ""),
            "put_back": record.get("put_back") is not False,
        }
        for record in _of_kind(material, "as_left")
    ]


def cautions(material: Material, numbered: Numbered) -> list[str]:
    """Return the cautions for the systems that this report speaks of."""
    pack = material.seen.pack
    systems = {s for s in pack.systems() if material.seen.scope.covers(s)}
    return texts.cautions(systems | {e.row.system for e in numbered.entries})


def disclosures(material: Material) -> list[str]:
    """Return what the reader should know about who made this and how."""
    return [
        *_wanted_by_the_state(material),
        *_about_the_visit(material),
        *_about_people(material),
        *_about_the_house(material),
        *_about_figures_and_pictures(material),
        *_of_the_firm(material),
        texts.disclosure("reliance"),
    ]


def _wanted_by_the_state(material: Material) -> Iterator[str]:
    """Yield what the state wants said in this case, as far as the firm checked it."""
    pack = material.seen.pack
    findings = [{"rule": row.rule, "passage": row.passage} for row in material.findings]
    for one in statements.due(pack, material.records, findings):
        read = one.source == "found" or pack.line_name(one.id) in material.checked
        if read and one.sentence:
            yield words.sentence(one.sentence)


def _about_the_visit(material: Material) -> Iterator[str]:
    zone = material.zone
    arrived = words.moment(material.own.get("arrived_at"))
    left = words.moment(people.left_at(material))
    if arrived and left:
        yield words.template(
            "disclosures",
            "conditions",
            date=words.day(arrived, zone),
            arrived=words.clock(arrived, zone),
            left=words.clock(left, zone),
        )
    names = [one["name"] for one in people.attended(material)]
    if names:
        yield texts.disclosure("attended", {"attended": words.listed(names)})
    warned = [str(r["told"]) for r in _of_kind(material, "hazard") if r.get("told")]
    if warned:
        yield texts.disclosure("hazards_told", {"told": words.listed(warned)})
    outside = coverage.outside(material.seen.ledger)
    if outside:
        yield words.template("disclosures", "outside", names=words.listed(outside))


def _about_people(material: Material) -> Iterator[str]:
    reader = people.checker(material)
    inspector = material.visit.inspector_id
    if reader is not None and reader.pk == inspector:
        yield texts.disclosure("same_person")
    elif reader is not None and reader not in material.recorders:
        yield texts.disclosure("reader_absent", {"reader": reader.name})
    yield from _about_the_signature(material)
    for member in material.recorders:
        if member.pk != inspector:
            trains = Role.TRAINEE in member.roles
            key = "training" if trains else "also"
            yield words.template("disclosures", key, name=member.name)
    if material.visit.referred_by:
        yield words.template("disclosures", "referred", name=material.visit.referred_by)


def _about_the_signature(material: Material) -> Iterator[str]:
    """Yield who signed for whom, and how much was passed without being read."""
    if row := people.stood_in(material):
        blanks = people.stand_in_blanks(material, row)
        yield words.template("disclosures", "stand_in", **blanks)
        if row.membership not in material.recorders:
            yield words.template(
                "disclosures", "stand_in_absent", name=row.membership.name
            )
    unread = sum(1 for row in material.findings if row.passed_unread)
    if unread:
        yield words.template("disclosures", "passed_unread", n=unread)


def _about_the_house(material: Material) -> Iterator[str]:
    built = people.house(material)["built"]
    if built["source"]:
        yield texts.disclosure("build_year", {"source": built["source"]})
    if material.visit.property.kind == "condominium":
        yield texts.disclosure("shared_parts")
    if material.own.get("occupied") != "empty":
        yield texts.disclosure("concealed")
    opened = [
        str(r.get("name") or "a panel")
        for r in _of_kind(material, "enclosure")
        if r.get("cover_removed") == "removed"
    ]
    if opened:
        covers = f"the cover of {words.listed(opened)}"
        yield texts.disclosure("moved", {"moved": covers})
    if told(material):
        yield texts.disclosure("told")


def _about_figures_and_pictures(material: Material) -> Iterator[str]:
    if figures.printed(material):
        yield texts.disclosure("instruments")
    shown = photos.ids(material)
    marked = sum(1 for p in material.pictures if p.marked and p.id in shown)
    if marked:
        yield texts.disclosure("pictures")
        yield words.template("disclosures", "marked", n=marked)
    late = sum(1 for r in material.records.values() if r.get("on_site") is False)
    if late:
        yield words.template("disclosures", "late", n=late)


def _of_the_firm(material: Material) -> Iterator[str]:
    said = material.actor.firm.policy.get("disclosures") or []
    yield from (texts.disclosure(key) for key in FIRM_SAYS if key in said)


def glossary(plain: Mapping[str, Any]) -> list[dict[str, str]]:
    """Explain the words of the trade that the report really uses."""
    used = texts.terms_used(_texts(plain))
    return [{"term": one.term, "meaning": one.meaning} for one in used]


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from _texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _texts(inner)


def _of_kind(material: Material, kind: str) -> list[Mapping[str, Any]]:
    held = sorted(material.seen.of_kind(kind), key=lambda pair: pair[0])
    return [record for _, record in held]
