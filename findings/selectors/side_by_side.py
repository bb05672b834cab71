"""One visit under the standards of several states, side by side."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from findings.rules import loader as rule_files
from findings.rules.loader import Ruleset
from findings.rules.proposal import Proposal
from findings.rules.visit import review
from findings.standards import loader, statements
from findings.standards.coverage import listed
from findings.standards.due import delivery_words
from findings.standards.ledger import Ledger, index_findings, ledger
from findings.standards.schema import Pack
from findings.standards.visit import Scope

DATED = {
    "defect_at_construction": "was asked when it was made",
    "met_then_safer_now": "note on age: met the rules of its day",
    "depends_on_adoption": "cannot tell when it was asked",
    "deficient_by_duty": "deficient by the state's own list",
    "undetermined": "cannot tell yet",
}


@dataclass(frozen=True, slots=True)
class House:
    """The records of a visit and what is known of the property, state left out."""

    records: Mapping[str, Mapping[str, Any]]
    conflicts: Mapping[tuple[str, str], list[Any]]
    facts: Mapping[str, Any]
    rules: Ruleset
    ticked: frozenset[str]
    scope: Scope


@dataclass(frozen=True, slots=True)
class Side:
    """The house under one state's standard."""

    pack: Pack
    proposals: tuple[Proposal, ...]
    ledger: Ledger

    def outcome(self, key: str) -> str:
        """Return what is proposed about one thing, empty where nothing is."""
        return next((p.outcome for p in self.proposals if p.key == key), "")

    @property
    def cannot_tell(self) -> tuple[Proposal, ...]:
        """Return the lines that leave open whether something was asked in its day."""
        return tuple(p for p in self.proposals if p.outcome == "depends_on_adoption")


@dataclass(frozen=True, slots=True)
class Row:
    """One matter, and what each state makes of it."""

    label: str
    cells: tuple[str, ...]

    @property
    def same(self) -> bool:
        return len(set(self.cells)) == 1


def sides(house: House, codes: Sequence[str]) -> list[Side]:
    """Evaluate a house as if it stood in each state."""
    return [_side(house, loader.pack(code)) for code in codes]


def _side(house: House, pack: Pack) -> Side:
    offered = review(
        house.records,
        house.conflicts,
        {**house.facts, "state": pack.state, "city": ""},
        house.rules,
        rule_files.timeline(pack.state),
        pack.absences(),
        ticked=house.ticked,
    )
    findings = [
        {"id": p.key, "stop": p.stop, "rule": p.rule, "system": p.system}
        for p in offered.proposals
        if p.consequence
    ]
    return Side(
        pack=pack,
        proposals=tuple(offered.proposals),
        ledger=ledger(
            pack,
            house.records,
            index_findings(pack, findings),
            house.scope,
            house.conflicts,
        ),
    )


def rows(house: House, found: Sequence[Side]) -> list[Row]:
    """Return the comparison: what each state asks, then what differs in findings."""
    asked: list[tuple[str, Callable[[Side], str]]] = [
        ("Agreement", lambda s: s.pack.agreement.text),
        ("Report due", lambda s: delivery_words(s.pack)),
        ("Words of a finding", _words),
        ("Summary", _summary),
        ("Words fixed by law", _notices),
        ("Who is named", _named),
        ("Sharing", _sharing),
        ("Records kept", _kept),
        ("Receptacles counted", _counts),
        ("Said in the report", lambda s: _said(house, s)),
        ("Lines of the standard", _lines),
    ]
    return [
        *[Row(label, tuple(say(one) for one in found)) for label, say in asked],
        *differences(found),
    ]


def differences(found: Sequence[Side]) -> list[Row]:
    """Return the proposals that not every state treats alike."""
    titles = {p.key: _title(p) for side in found for p in side.proposals}
    compared = [
        Row(title, tuple(_outcome(side, key) for side in found))
        for key, title in titles.items()
    ]
    return [row for row in compared if not row.same]


def _title(one: Proposal) -> str:
    if not one.places:
        return one.title
    more = len(one.places) - 1
    said = f"{one.title}: {one.places[0]}"
    return f"{said} and {more} more" if more else said


def _outcome(side: Side, key: str) -> str:
    outcome = side.outcome(key)
    return DATED.get(outcome, outcome.replace("_", " ")) or "nothing"


def _words(side: Side) -> str:
    parts = [one.says for one in side.pack.deficiency.parts]
    kept = [f"“{one.word}”" for one in side.pack.deficiency.reserved]
    said = listed(parts) if parts else "no parts are asked"
    return f"{said}; the word {listed(kept)} is kept for them" if kept else said


def _summary(side: Side) -> str:
    summary = side.pack.summary
    if summary is None:
        return "not asked"
    least = summary.compulsory.least_systems
    return f"asked for {listed(summary.compulsory.purposes)}, {least} systems or more"


def _notices(side: Side) -> str:
    return listed(one.about for one in side.pack.notices) or "none"


def _named(side: Side) -> str:
    signer = side.pack.signer
    who = ["the inspector who signs"]
    who += ["everybody who took part"] if signer.contributors else []
    who += ["supervisors"] if signer.supervisors else []
    return listed(who)


def _sharing(side: Side) -> str:
    rule = side.pack.sharing
    said = "the client's written consent" if rule.consent == "written" else "the client"
    return f"{said}, save for {rule.exception}" if rule.exception else said


def _kept(side: Side) -> str:
    years = side.pack.retention.years
    return f"{years} years" if years else "not confirmed: for good"


def _counts(side: Side) -> str:
    tallies = [
        (duty.item, side.ledger.tally(duty.id))
        for duty in side.pack.duties
        if duty.count and duty.count.tried == "receptacles_tried"
    ]
    said = [
        f"{item}: tried {one.tried} of {one.total if one.total is not None else '?'}"
        for item, one in tallies
    ]
    return "; ".join(said) or "not counted"


def _said(house: House, side: Side) -> str:
    findings = [{"rule": p.rule, "passage": p.passage} for p in side.proposals]
    due = statements.due(side.pack, house.records, findings)
    return " ".join(one.sentence for one in due if one.sentence) or "nothing special"


def _lines(side: Side) -> str:
    open_lines = side.ledger.open()
    return f"{len(side.ledger.rows)} arise here, {len(open_lines)} open"
