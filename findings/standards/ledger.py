"""The coverage ledger: how every duty of the standard stands on one visit."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from findings.standards import answers, entry, matching
from findings.standards.schema import Duty, Pack
from findings.standards.visit import FindingRef, Reply, Scope, State, Visit

# What says of a finding by which lines of a standard it is named.
TELLS = ("rule", "passage", "item", "system", "duties", "consequence", "age_note")
SLIGHT = ("old_for_kind", "upkeep")


@dataclass(frozen=True, slots=True)
class Row:
    """One duty at one place."""

    duty: str
    system: str
    item: str
    stop: str
    state: State
    text: str = ""
    together: bool = False
    tried: int | None = None
    total: int | None = None
    findings: tuple[str, ...] = ()
    hint: str = ""
    said: bool = False  # the text is a person's own, not a sentence of ours


@dataclass(frozen=True, slots=True)
class OpenLine:
    """A duty that still needs an answer, where to give it, and whether on foot."""

    duty: str
    system: str
    item: str
    stop: str
    place: str
    hint: str
    needs_feet: bool


@dataclass(frozen=True, slots=True)
class Tally:
    """A count over the whole visit: tried n of m, in how many of the places."""

    tried: int
    total: int | None
    places_done: int
    places: int


@dataclass(frozen=True, slots=True)
class Ledger:
    """Every duty of a pack on one visit."""

    pack: Pack
    rows: tuple[Row, ...]
    names: Mapping[str, str]

    def open(self, stop: str | None = None) -> tuple[OpenLine, ...]:
        """Return what still needs an answer, of one stop or of the whole visit."""
        return tuple(
            OpenLine(
                duty=row.duty,
                system=row.system,
                item=row.item,
                stop=row.stop,
                place=self.names.get(row.stop, "At the desk"),
                hint=row.hint,
                needs_feet=_on_foot(self.pack.duty(row.duty)),
            )
            for row in self.rows
            if row.state == "open" and stop in (None, row.stop)
        )

    def tally(self, duty_id: str) -> Tally:
        """Return tried n of m for a counted duty, and in how many places."""
        rows = [r for r in self.rows if r.duty == duty_id]
        asked = [r for r in rows if r.state != "not_present"]
        totals = [r.total for r in asked]
        known = [t for t in totals if t is not None]
        return Tally(
            tried=sum(r.tried or 0 for r in asked),
            total=sum(known) if known and len(known) == len(totals) else None,
            places_done=sum(1 for r in asked if r.tried),
            places=len(asked),
        )

    def complete(self) -> bool:
        """Say whether nothing is open."""
        return not any(row.state == "open" for row in self.rows)


def _on_foot(duty: Duty) -> bool:
    """Say whether only somebody who stands there can answer."""
    named = duty.condition and duty.as_deficient
    return duty.duty in ("inspect", "operate") or duty.exception or named


def ledger(
    pack: Pack,
    folded: matching.Folded,
    findings_index: Mapping[str, Sequence[FindingRef | str]],
    scope: Scope | None = None,
    conflicts: matching.Conflicts | None = None,
) -> Ledger:
    """Set out every duty that arises on a visit and how it stands."""
    visit = _visit(pack, folded, findings_index, scope or Scope(), conflicts)
    rows = [row for duty in pack.duties for row in _rows(visit, duty)]
    stops = matching.stops_by_route(folded)
    names = {i: str(stop.get("name") or "A stop without a name") for i, stop in stops}
    return Ledger(pack, tuple(rows), names)


def _visit(
    pack: Pack,
    folded: matching.Folded,
    index: Mapping[str, Sequence[FindingRef | str]],
    scope: Scope,
    conflicts: matching.Conflicts | None,
) -> Visit:
    refs = {
        duty: [FindingRef(ref) if isinstance(ref, str) else ref for ref in found]
        for duty, found in index.items()
    }
    tight = tuple(entry.tight_stops(pack, folded))
    # Every question walks the records in order: sorted once, they stay so.
    ordered = dict(sorted(folded.items()))
    return Visit(ordered, scope, refs, conflicts or {}, tight)


def _rows(visit: Visit, duty: Duty) -> list[Row]:
    if duty.held_by or not _arises(visit, duty):
        return []
    stops = visit.stop_ids(duty)
    if duty.per == "house" or not stops or not visit.scope.covers(duty.system):
        return [_row(visit, duty, stops)]
    return [_row(visit, duty, (stop,)) for stop in stops]


def _arises(visit: Visit, duty: Duty) -> bool:
    return not duty.arises or matching.any_of(visit.folded, duty.arises)


def _row(visit: Visit, duty: Duty, stops: Sequence[str]) -> Row:
    found = answers.reply(visit, duty, stops)
    # A record may still name a stop that was taken off the route.
    there = found.stop if found.stop in visit.folded else ""
    return Row(
        duty=duty.id,
        system=duty.system,
        item=duty.item,
        stop=there or _place(visit, duty, found, stops),
        state=found.state,
        text=found.text,
        together=found.together,
        tried=found.tried,
        total=found.total,
        findings=found.findings,
        hint=found.hint,
        said=found.said,
    )


def _place(visit: Visit, duty: Duty, found: Reply, stops: Sequence[str]) -> str:
    """Send an open duty to a stop not closed yet, of the kind it names first."""
    if found.state != "open":
        return stops[0] if len(stops) == 1 else ""
    return min(
        stops,
        key=lambda stop: (visit.closed(stop), _nearness(duty, visit.kind(stop))),
        default="",
    )


def _nearness(duty: Duty, kind: str) -> int:
    kinds = [str(k) for k in duty.stops]
    return kinds.index(kind) if kind in kinds else len(kinds)


def closable(
    pack: Pack, folded: matching.Folded, stop_id: str, scope: Scope
) -> list[Duty]:
    """Return the duties that "looked at everything here" closes at a stop."""
    stop = folded.get(stop_id, {})
    kind, use = str(stop.get("stop_kind") or ""), str(stop.get("room_use") or "")
    return [
        duty
        for duty in pack.duties
        if duty.exception and duty.belongs(kind, use) and scope.covers(duty.system)
    ]


def index_findings(
    pack: Pack, findings: Iterable[Mapping[str, Any]]
) -> dict[str, list[FindingRef]]:
    """Return which findings report which duty.

    A finding names `id` and any of `stop`, `rule`, `passage`, `item`, `system`
    and `duties`.
    """
    index: dict[str, list[FindingRef]] = {}
    for finding in findings:
        ref = FindingRef(str(finding["id"]), str(finding.get("stop") or ""))
        for duty in tied(pack, finding):
            index.setdefault(duty.id, []).append(ref)
    return index


def tied(pack: Pack, finding: Mapping[str, Any]) -> list[Duty]:
    """Return the duties that a finding speaks of: by its rule, else by its item."""
    named = [duty for duty in pack.duties if _named(finding, duty)]
    told = _sorted_here(pack, finding)
    return named or [duty for duty in pack.duties if _by_item(told, duty)]


def deficient_by(pack: Pack, finding: Mapping[str, Any]) -> list[Duty]:
    """Return the lines by which a state names what a finding tells as deficient.

    A rule or passage that counts whatever the year does; anything else only where it
    is more than a note on age, old for its kind or upkeep. A finding names `TELLS`.
    """
    lines = [duty for duty in tied(pack, finding) if duty.as_deficient]
    keys = {str(finding.get(name) or "") for name in ("rule", "passage")}
    said = set(finding.get("duties") or ())
    slight = finding.get("consequence") in SLIGHT or bool(finding.get("age_note"))
    return [
        duty
        for duty in lines
        if not slight or duty.id in said or keys & set(duty.whatever_year)
    ]


def _sorted_here(pack: Pack, finding: Mapping[str, Any]) -> Mapping[str, Any]:
    """Leave a finding's system aside where this state sorts its item under another."""
    item, system = finding.get("item"), finding.get("system")
    homes = {duty.system for duty in pack.duties if item in duty.items}
    return finding if system in homes else {**finding, "system": ""}


def _named(finding: Mapping[str, Any], duty: Duty) -> bool:
    if duty.id in (finding.get("duties") or ()):
        return True
    keys = [str(finding.get(name) or "") for name in ("rule", "passage")]
    return any(_under(key, rule) for key in keys for rule in duty.rules)


def _by_item(finding: Mapping[str, Any], duty: Duty) -> bool:
    same = finding.get("system") in (None, "", duty.system)
    return same and bool(finding.get("item")) and finding["item"] in duty.items


def _under(key: str, prefix: str) -> bool:
    return key == prefix or key.startswith((prefix + ".", prefix + "_"))
