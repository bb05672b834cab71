"""What a visit's records mean just now: proposals, decisions and the ledger."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, field
from threading import Lock
from typing import Any
from uuid import UUID

from findings.models import DutyCheck, Finding
from findings.rules import loader as rule_files
from findings.rules.kept import Kept
from findings.rules.loader import Ruleset
from findings.rules.proposal import Proposal
from findings.rules.visit import review
from findings.selectors.rulings import rules_of
from findings.standards.ledger import Ledger, index_findings, ledger
from findings.standards.loader import pack as load_pack
from findings.standards.schema import Pack
from findings.standards.visit import Scope
from firm.actor import Actor
from inspections.models import Visit
from inspections.selectors.folded import folded

Records = Mapping[str, Mapping[str, Any]]
# Kept by the process over requests, each visit's by itself: what was worked out once
# is not worked out again until something that it read has changed.
_KEPT: OrderedDict[tuple[UUID, UUID], Kept] = OrderedDict()
_KEPT_LOCK = Lock()
_MOST_VISITS = 40


@dataclass(frozen=True, slots=True)
class Decision:
    """What the inspector said to one proposal."""

    record: str
    choice: str
    reason: str
    reason_text: str
    consequence: str
    timing: str


@dataclass(frozen=True, slots=True)
class Evaluation:
    """One visit, understood: its records and everything derived from them."""

    records: Records
    conflicts: Mapping[tuple[str, str], list[Any]]
    proposals: tuple[Proposal, ...]
    decisions: Mapping[str, Decision]
    ledger: Ledger
    pack: Pack
    scope: Scope
    rules: Ruleset  # as the firm uses them
    set_aside: tuple[Proposal, ...] = ()  # each with the inspector's reason
    # What a value means by itself, by record: told quietly, never proposed.
    beside: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def undecided(self) -> tuple[Proposal, ...]:
        """Proposals that still wait for the inspector's answer."""
        return tuple(
            p for p in self.proposals if p.consequence and p.key not in self.decisions
        )

    @property
    def questions(self) -> tuple[Proposal, ...]:
        """Proposals that only ask for a fact; they hold nothing up."""
        return tuple(p for p in self.proposals if not p.consequence)

    def of_kind(self, kind: str) -> list[tuple[str, Mapping[str, Any]]]:
        return [(key, rec) for key, rec in self.records.items() if rec["kind"] == kind]

    def stop_name(self, stop: str | None) -> str:
        return str(self.records.get(stop or "", {}).get("name") or "")


def evaluate(actor: Actor, visit: Visit) -> Evaluation:
    """Fold the visit's log and work out everything that follows from it."""
    records, conflicts = folded(actor, visit)
    pack, rules = load_pack(visit.pack), rules_of(actor)
    scope = Scope(systems=tuple(visit.scope)) if visit.scope else Scope()
    offered = review(
        records,
        conflicts,
        property_facts(visit, records),
        rules,
        rule_files.timeline(visit.property.state),
        pack.absences(),
        ticked=checked_lines(actor),
        kept=kept_of(actor, visit),
    )
    return Evaluation(
        records=records,
        conflicts=conflicts,
        proposals=tuple(offered.proposals),
        set_aside=tuple(offered.set_aside),
        beside=offered.beside,
        decisions=_decisions(records),
        ledger=ledger(
            pack, records, index_findings(pack, _rows(actor, visit)), scope, conflicts
        ),
        pack=pack,
        scope=scope,
        rules=rules,
    )


def kept_of(actor: Actor, visit: Visit) -> Kept:
    """Return what this process made of a visit before, or a new store for it."""
    key = (actor.firm.pk, visit.pk)
    with _KEPT_LOCK:
        kept = _KEPT.setdefault(key, Kept())
        _KEPT.move_to_end(key)
        if len(_KEPT) > _MOST_VISITS:
            _KEPT.popitem(last=False)
    return kept


def property_facts(visit: Visit, records: Records) -> dict[str, Any]:
    """Return the facts of the property that dated rules read.

    What the inspector recorded on site stands before what was said at booking.
    """
    on_site = records.get(str(visit.pk), {})
    place = {
        "state": visit.property.state,
        "city": visit.property.city,
        **families_of(visit.pack),
    }
    if on_site.get("built_year"):
        return {
            **place,
            "built_from": on_site["built_year"],
            "built_to": on_site.get("built_year_to") or on_site["built_year"],
            "built_source": on_site.get("built_source", ""),
        }
    return {
        **place,
        "built_from": visit.property.built_from,
        "built_to": visit.property.built_to or visit.property.built_from,
        "built_source": visit.property.built_source,
    }


def families_of(pack: str) -> dict[str, str]:
    """Return the families of codes that the state's pack names; none from memory."""
    said = load_pack(pack).code_family
    if said is None or said.source == "memory":
        return {}
    return {"plumbing_family": said.plumbing, "mechanical_family": said.mechanical}


def checked_lines(actor: Actor) -> frozenset[str]:
    """Return what the firm's licensed reader has ticked: duty ids and rule ids."""
    return frozenset(
        DutyCheck.objects.filter(firm=actor.firm).values_list("what", flat=True)
    )


def _rows(actor: Actor, visit: Visit) -> list[Mapping[str, Any]]:
    rows = Finding.objects.filter(firm=actor.firm, visit=visit).exclude(
        state=Finding.State.WITHDRAWN
    )
    return list(
        rows.values("id", "stop", "rule", "passage", "item", "system", "duties")
    )


def _decisions(records: Records) -> dict[str, Decision]:
    found = {}
    for key, record in records.items():
        if record["kind"] != "decision" or not record.get("choice"):
            continue
        found[f"{record.get('rule')}:{record.get('subject')}"] = Decision(
            record=key,
            choice=record["choice"],
            reason=record.get("reason") or "",
            reason_text=record.get("reason_text") or "",
            consequence=record.get("consequence") or "",
            timing=record.get("timing") or "",
        )
    return found
