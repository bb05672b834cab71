"""What a rule file itself says it reads from the visit: one evaluation per record."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from findings.rules.bindings import Binding, Bindings, View, binding

FROM_RECORD, FROM_STOP, FROM_VISIT, VALUE = "field", "stop", "visit", "value"
SOURCES = (FROM_RECORD, FROM_STOP, FROM_VISIT, VALUE)
DAYS = frozenset({"visit_year", "visit_date"})
# What the state's pack says of the codes houses there are built by.
FAMILIES = frozenset({"plumbing_family", "mechanical_family"})
# Fields of the visit's own record, entered on arrival.
ARRIVAL = {"temp_out_f": ("outside temperature", "°F")}
VISIT_NAMES = DAYS | FAMILIES | frozenset(ARRIVAL)


@dataclass(frozen=True)
class Source:
    """Where one input is read, and what its words mean to the rule."""

    kind: str
    name: Any
    words: Mapping[str, Any] | None = None


@dataclass(frozen=True)
class Binds:
    """The kind of record a rule looks at, and where each input is read."""

    record: str
    item: str
    where: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    inputs: Mapping[str, Source] = field(default_factory=dict)
    # Inputs worth asking for on the spot; the others are left unasked.
    asks: frozenset[str] = frozenset()

    def one(self, view: View, rule: str, system: str, record: str) -> Bindings:
        """Give the binding of a record of the kind, where it is in question."""
        if all(str(view.get(record, k)) in v for k, v in self.where.items()):
            yield self._one(view, rule, system, record)

    def _one(self, view: View, rule: str, system: str, record: str) -> Binding:
        found = binding(view, rule, record, self.item, system=system, ask=self.asks)
        for name, source in self.inputs.items():
            _READ[source.kind](view, found, record, name, source)
        return found


def _field(view: View, found: Binding, record: str, name: str, source: Source) -> None:
    unit = unit_of(source.name)
    # The value carries the unit; the name need not say it again.
    bare = source.name.rsplit("_", 1)[0] if unit else source.name
    found.take(
        view, name, record, source.name, source.words, unit, bare.replace("_", " ")
    )


def _stop(view: View, found: Binding, record: str, name: str, source: Source) -> None:
    stop = str(view.get(record, "stop") or "")
    found.take(view, name, stop or None, source.name, source.words)


def _visit(view: View, found: Binding, _: str, name: str, source: Source) -> None:
    visit = view.only("visit")
    if source.name in ARRIVAL:
        label, unit = ARRIVAL[source.name]
        found.take(view, name, visit, source.name, source.words, unit, label)
        return
    if source.name in FAMILIES:
        said = str(view.house.get(source.name) or "")
        found.give(**{name: (source.words or {}).get(said) if said else None})
        return
    arrived = str(view.get(visit, "arrived_at") or "")[:10]
    value = arrived[:4] if source.name == "visit_year" else arrived
    if value:
        found.give(**{name: value})


def _value(_: View, found: Binding, __: str, name: str, source: Source) -> None:
    found.give(**{name: source.name})


_READ: dict[str, Callable[[View, Binding, str, str, Source], None]] = {
    FROM_RECORD: _field,
    FROM_STOP: _stop,
    FROM_VISIT: _visit,
    VALUE: _value,
}
UNITS = {
    "in": "in", "ft": "ft", "ft2": "square feet", "in2": "square inches", "psi": "psi",
    "f": "°F", "btuh": "Btu/h", "pct": "percent", "cfm": "cfm", "gpm": "gpm",
    "pcil": "pCi/L", "v": "V", "a": "A", "w": "W",
}  # fmt: skip


def unit_of(name: str) -> str:
    """Give the unit that ends a field's name, as people write it; else nothing."""
    return UNITS.get(str(name).rsplit("_", 1)[-1], "") if "_" in str(name) else ""
