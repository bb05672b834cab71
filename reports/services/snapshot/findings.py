"""Findings as printed: numbered in reading order, the front page, older rules."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from findings.models import Finding
from findings.standards import front
from findings.standards.ledger import TELLS, deficient_by
from findings.wording import sentences, texts
from reports.services.snapshot import words
from reports.services.snapshot.material import HOUSE, Material

# A date alone decides these. Where one can hurt or harm it stays a finding with its
# note on age; else it is told in the box about older rules.
BY_DATE: Final = frozenset({"met_then_safer_now", "depends_on_adoption"})
BOXED: Final = frozenset({"old_for_kind", "upkeep"})


@dataclass(frozen=True, slots=True)
class Entry:
    """One finding with its number and the places it holds for."""

    row: Finding
    number: int
    places: tuple[str, ...]
    place: str

    @property
    def id(self) -> str:
        return str(self.row.pk)

    @property
    def consequence(self) -> str:
        return str(self.row.consequence)

    @property
    def timing(self) -> str:
        return str(self.row.timing)

    @property
    def subjects(self) -> frozenset[str]:
        """The records that it is about."""
        proposal = self.row.proposal or {}
        told = [proposal.get("subject"), *(proposal.get("subjects") or ())]
        by_hand = self.row.source_key.removeprefix("hand:")
        return frozenset(str(one) for one in [*told, by_hand] if one)

    @property
    def facts(self) -> frozenset[str]:
        """The records that it rests on."""
        facts = (self.row.proposal or {}).get("facts") or ()
        return frozenset(str(fact.get("record")) for fact in facts)


@dataclass(frozen=True, slots=True)
class Numbered:
    """All findings in reading order, and those told in the box about older rules."""

    entries: tuple[Entry, ...]
    boxed: tuple[Finding, ...]
    front: tuple[str, ...]
    by_subject: Mapping[str, tuple[str, ...]]

    def about(self, *records: str) -> list[str]:
        """Return the findings about any of these records, in their order."""
        found = {one for record in records for one in self.by_subject.get(record, ())}
        return [entry.id for entry in self.entries if entry.id in found]

    def first_about(self, record: str) -> str | None:
        """Return the finding that is about this record and as little else as can be."""
        found = [e for e in self.entries if record in e.subjects]
        return (
            min(found, key=lambda e: (len(e.subjects), e.number)).id if found else None
        )

    def resting_on(self, record: str) -> str | None:
        """Return the first finding that this record is a fact of."""
        return next((e.id for e in self.entries if record in e.facts), None)


def number(material: Material) -> Numbered:
    """Return the findings along the route with numbers, the graver first."""
    boxed = tuple(row for row in material.findings if _is_boxed(row))
    rows = [row for row in material.findings if row not in boxed]
    placed = [(row, _places(material, row)) for row in rows]
    entries: list[Entry] = []
    for place in material.place_names:
        here = [
            Entry(row, 0, places, _printed_place(material, row, places))
            for row, places in placed
            if places[0] == place
        ]
        for entry in front.body_order(here):
            entries.append(
                Entry(entry.row, len(entries) + 1, entry.places, entry.place)
            )
    by_subject: dict[str, tuple[str, ...]] = {}
    for entry in entries:
        for subject in entry.subjects:
            by_subject[subject] = (*by_subject.get(subject, ()), entry.id)
    ranked = front.front_order(material.seen.pack, entries)
    return Numbered(
        tuple(entries), boxed, tuple(entry.id for entry in ranked), by_subject
    )


def printed(
    material: Material, numbered: Numbered, photos: frozenset[str]
) -> list[Any]:
    """Return the findings as the snapshot holds them."""
    shown = set(numbered.front)
    return [_finding(material, one, photos, shown) for one in numbered.entries]


def front_page(material: Material, numbered: Numbered) -> dict[str, Any]:
    """Return the one summary: the state's rule and notice, only our order inside it."""
    pack, visit = material.seen.pack, material.visit
    systems = [s for s in pack.systems() if material.seen.scope.covers(s)]
    notice = None
    if front.compulsory(pack, visit.purpose, systems):
        slot = pack.summary.notice if pack.summary else ""
        entered = material.notices.get(slot)
        notice = entered.text if entered else None
    key = "intro" if numbered.front else "none"
    return {
        "title": words.template("front", "title"),
        "notice": notice,
        "intro": words.template("front", key),
        "items": list(numbered.front),
    }


def older_rules(numbered: Numbered) -> list[dict[str, str]]:
    """Return the notes on age, one for each topic."""
    by_topic: dict[str, list[Finding]] = {}
    for row in numbered.boxed:
        topic = str((row.proposal or {}).get("topic") or "other")
        by_topic.setdefault(topic, []).append(row)
    return [_note_on_age(topic, rows) for topic, rows in sorted(by_topic.items())]


def _note_on_age(topic: str, rows: Sequence[Finding]) -> dict[str, str]:
    known = texts.older_rule(topic)
    said = dict.fromkeys(
        text.strip()
        for row in rows
        for text in (row.words.seen if row.words else "", row.age_note)
        if text.strip()
    )
    parts = [known.text, *said]
    places = dict.fromkeys(str(place) for row in rows for place in row.places)
    where = [place for place in places if place not in " ".join(said)]
    if where:
        parts.append(f"Here: {words.listed(where)}.")
    return {
        "title": known.title,
        "text": " ".join(parts),
        "settle": known.settle,
    }


def _is_boxed(row: Finding) -> bool:
    outcome = (row.proposal or {}).get("outcome")
    return outcome in BY_DATE and row.consequence in BOXED


def _places(material: Material, row: Finding) -> tuple[str, ...]:
    """Return the ids of the places, the one it is printed under first."""
    found = [_place_named(material, str(place)) for place in row.places]
    named = [place for place in found if place]
    stop = str(row.stop or "")
    # The inspector's accepted change of place stands before where it was recorded.
    if stop in material.route and (not named or stop in named):
        named.insert(0, stop)
    return tuple(dict.fromkeys(named)) or (HOUSE,)


def _place_named(material: Material, said: str) -> str:
    """Return the place that words such as "Garage, left wall" speak of."""
    fits = [
        (len(name), key)
        for key, name in reversed(list(material.place_names.items()))
        if said == name or said.startswith(f"{name},")
    ]
    return max(fits, key=lambda fit: fit[0])[1] if fits else ""


def _printed_place(material: Material, row: Finding, places: tuple[str, ...]) -> str:
    given = [str(place) for place in row.places if str(place).strip()]
    said = "; ".join(_once(material, place) for place in given)
    if not said or len(said) > words.LINE:
        said = ", ".join(material.place_names[place] for place in places)
    return words.line(said)


def _once(material: Material, said: str) -> str:
    """Say "Garage, left wall" for "Garage, garage, left wall"."""
    name, _, rest = said.partition(", ")
    twice = rest.lower().startswith(name.lower())
    return words.capital(rest) if twice and name in material.names else said


def _finding(
    material: Material, entry: Entry, photos: frozenset[str], front: set[str]
) -> dict[str, Any]:
    row, purpose = entry.row, material.visit.purpose
    return {
        "id": entry.id,
        "number": entry.number,
        "place": entry.place,
        "place_id": entry.places[0],
        "system": words.system_label(row.system),
        "system_key": row.system,
        "item": words.line(words.plainly(row.item)),
        "consequence": {
            "key": row.consequence,
            "label": sentences.consequence_label(row.consequence),
        },
        "timing": {
            "key": row.timing,
            "label": sentences.timing_label(row.timing, purpose),
        },
        "trade": {"key": row.trade, "label": sentences.trade_label(row.trade)},
        "sentence": sentences.sentence(row.consequence, row.timing, row.trade, purpose),
        "words": _words(row),
        "age_note": row.age_note,
        "state_says": _state_says(material, row),
        "photos": _known(photos, row.photos),
        "in_front": entry.id in front,
        "places": list(entry.places),
        "author": words.line(row.author.name),
    }


def _state_says(material: Material, row: Finding) -> str:
    """Say that the state names the condition, where a checked line of it does."""
    pack = material.seen.pack
    told = {name: getattr(row, name) for name in TELLS}
    named = any(
        duty.source == "found" or duty.id in material.checked
        for duty in deficient_by(pack, told)
    )
    if not named:
        return ""
    return words.template("findings", "state_names", state=pack.name)


def _words(row: Finding) -> dict[str, str]:
    now = row.words
    return {
        "seen": now.seen if now else "",
        "matters": now.matters if now else "",
        "action": now.action if now else "",
        "when": now.when if now else "",
    }


def _known(photos: frozenset[str], wanted: Iterable[Any]) -> list[str]:
    return [one for one in dict.fromkeys(map(str, wanted)) if one in photos]
