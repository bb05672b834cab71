"""From a folded visit to the inputs of rules: the view on facts, and one binding."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

Folded = Mapping[str, Mapping[str, Any]]
Conflicts = Mapping[tuple[str, str], list[Any]]
CHILD_REACH_IN = 60  # a small child on the floor or on a chair; common practice

HOW_OF_FIELD = {
    "conductor_size": "conductor_how",
    "conductor_material": "conductor_how",
    "conductor_parallel": "conductor_how",
    "size": "how",
    "material": "how",
    "stranding": "how",
    "sizes": "how",
}
READ_FIELDS = frozenset(
    [
        "amps",
        "main_amps",
        "bus_amps",
        "meter_base_amps",
        "plate_mca",
        "plate_mocp",
        "plate_watts",
        "plate_volts",
        "made_year",
        "labels",
        "label",
    ]
)
HOW_WORDS = {"compared": "seen", None: "seen"}
# Abbreviations of a data plate, in words.
FIELD_WORDS = {
    "plate_mca": "smallest circuit on the plate",
    "plate_mocp": "largest breaker on the plate",
}


def field_words(name: str) -> str:
    """Give a record's field in plain words, for the page that shows the facts."""
    return FIELD_WORDS.get(name, name.replace("_", " "))


@dataclass(frozen=True)
class Fact:
    """One recorded value that a rule reads."""

    record: str
    field: str
    value: Any
    how: str
    label: str
    unit: str = ""

    def as_dict(self) -> dict[str, Any]:
        """Give the fact as plain JSON values."""
        return {
            "record": self.record,
            "field": self.field,
            "label": self.label,
            "value": self.value,
            "unit": self.unit,
            "how_known": self.how,
        }


class View:
    """The visit's records; a field with two open values reads as unknown."""

    def __init__(
        self,
        folded: Folded,
        conflicts: Conflicts,
        house: Mapping[str, Any] | None = None,
    ) -> None:
        self.folded, self.conflicts, self.house = folded, conflicts, house or {}
        self.by_kind: dict[str, list[str]] = {}
        self._dead: dict[str, tuple[str, ...]] | None = None
        for record in sorted(folded):
            kind = str(folded[record].get("kind", ""))
            self.by_kind.setdefault(kind, []).append(record)

    def get(self, record: str | None, name: str) -> Any:
        """Give a field's value, or None when unknown, unanswered or in conflict."""
        if not record or (record, name) in self.conflicts:
            return None
        return self.folded.get(record, {}).get(name)

    def all(self, kind: str) -> list[str]:
        """Ids of all records of a kind, in one fixed order."""
        return self.by_kind.get(kind, [])

    def only(self, kind: str) -> str | None:
        """Give the one record of a kind that a visit has, or None."""
        found = self.all(kind)
        return found[0] if found else None

    def how(self, record: str, name: str) -> str:
        """How a field is known."""
        row = self.folded.get(record, {})
        own = row.get("how_known") or row.get(HOW_OF_FIELD.get(name, ""), None)
        if own is None and name in READ_FIELDS:
            return "read"
        return str(HOW_WORDS.get(own, own))

    def place(self, record: str) -> str:
        """Where a record is, in the inspector's own words."""
        row = self.folded.get(record, {})
        stop = self.get(row.get("stop"), "name") or ""
        own = row.get("place") or row.get("location") or row.get("name") or ""
        if row.get("kind") == "stop":
            return str(row.get("name", ""))
        own, stop = str(own), str(stop)
        if own.lower().startswith(stop.lower()):
            return own[:1].upper() + own[1:]
        return f"{stop}, {own}" if own else stop

    def died_with(self, record: str) -> tuple[str, ...]:
        """Which receptacles took this one with them when they were tripped."""
        if self._dead is None:
            dead: dict[str, list[str]] = {}
            for one in self.all("receptacle"):
                for other in self.get(one, "died_with") or ():
                    dead.setdefault(str(other), []).append(one)
            self._dead = {one: tuple(found) for one, found in dead.items()}
        return self._dead.get(record, ())

    def closed(self, stop: str | None) -> bool:
        """Whether a stop was left, so that its recorders may speak."""
        return bool(self.get(stop, "closed_at"))


@dataclass
class Binding:
    """One rule over one subject, with the facts its inputs came from."""

    rule: str
    subject: str
    stop: str
    place: str
    item: str
    inputs: dict[str, Any] = field(default_factory=dict)
    facts: list[Fact] = field(default_factory=list)
    sources: dict[str, Fact] = field(default_factory=dict)
    in_conflict: list[tuple[str, str]] = field(default_factory=list)
    ask: frozenset[str] = frozenset()
    also: list[tuple[str, str]] = field(default_factory=list)
    blanks: dict[str, str] = field(default_factory=dict)
    system: str = "electrical"

    def give(self, **inputs: Any) -> "Binding":
        """Give inputs that no single field holds."""
        self.inputs.update(inputs)
        return self

    def take(
        self,
        view: View,
        name: str,
        record: str | None,
        source: str,
        words: Mapping[Any, Any] | None = None,
        unit: str = "",
        label: str = "",
    ) -> "Binding":
        """Read a field into an input; `words` maps its values, others are unknown."""
        if record is None:
            return self
        if (record, source) in view.conflicts:
            self.in_conflict.append((record, source))
            return self
        raw = view.get(record, source)
        how = view.how(record, source)
        said = label or field_words(source)
        self.sources[name] = Fact(record, source, raw, how, said, unit)
        bare = isinstance(raw, list | dict)
        value = raw if bare or words is None else words.get(raw)
        if raw is None or how == "not_seen":
            return self
        self.facts.append(self.sources[name])
        self.inputs[name] = value
        return self

    @property
    def estimated(self) -> list[Fact]:
        """The facts that were only estimated."""
        return [fact for fact in self.facts if fact.how == "estimated"]


def binding(view: View, rule: str, subject: str, item: str, **more: Any) -> Binding:
    """Give a binding at the subject's own stop and place."""
    row = view.folded.get(subject, {})
    stop = subject if row.get("kind") == "stop" else str(row.get("stop") or "")
    return Binding(
        rule, subject, stop, more.pop("place", view.place(subject)), item, **more
    )


Bindings = Iterator[Binding]
YES_NO = {"yes": True, "no": False}
LOOKED = {"present": True, "looked_none": False}
ANSWER = {"yes": True, "no": False, "looked_none": False}


def reach_words(height: Any) -> str:
    """Height as context, in words; empty when it was not taken."""
    return f"{height} in above the floor" if height is not None else ""
