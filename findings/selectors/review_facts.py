"""Where findings come from: facts, rules, questions, what was set aside."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.urls import reverse

from findings.models import Finding
from findings.rules.proposal import Proposal
from findings.selectors.evaluation import Evaluation, Records
from findings.selectors.review_pages import RuleRow
from findings.wording import sentences
from firm.actor import Actor
from inspections.models import Visit
from inspections.selectors.rows import FactRow

HOW_KNOWN = {
    "measured": "measured",
    "read": "read",
    "told": "told, not checked",
    "estimated": "estimated",
    "seen": "seen",
}
PROVENANCE = {
    "found": "Read in its source.",
    "mixed": "Partly read in its source, partly from memory.",
    "memory": "From memory; not read in its source yet.",
}
REASONS = {
    "mis_entered": "an entry was wrong",
    "exception_applies": "an exception applies",
    "already_covered": "covered already",
    "could_not_see_enough": "not enough could be seen",
}


def fact_rows(finding: Finding, records: Records) -> tuple[FactRow, ...]:
    """Return the facts as they stood when the proposal was used, by record."""
    by_record: dict[str, list[Mapping[str, Any]]] = {}
    for fact in (finding.proposal or {}).get("facts") or ():
        by_record.setdefault(str(fact.get("record")), []).append(fact)
    if len(by_record) == 1:
        (facts,) = by_record.values()
        return tuple(
            FactRow(_label(fact).capitalize(), _value(fact), _known(fact))
            for fact in facts
        )
    return tuple(
        FactRow(_record_name(records.get(key, {})), "; ".join(map(_whole, facts)))
        for key, facts in by_record.items()
    )


def _label(fact: Mapping[str, Any]) -> str:
    return str(fact.get("label") or fact.get("field") or "").replace("_", " ")


def _known(fact: Mapping[str, Any]) -> str:
    return HOW_KNOWN.get(str(fact.get("how_known")), "")


def _whole(fact: Mapping[str, Any]) -> str:
    known = f" ({_known(fact)})" if _known(fact) else ""
    return f"{_label(fact)}: {_value(fact)}{known}"


def _record_name(record: Mapping[str, Any]) -> str:
    """Name a record as people of the firm speak of it."""
    if record.get("kind") == "space":
        return f"Space {record.get('number')}"
    said = str(record.get("name") or record.get("place") or record.get("kind") or "")
    return said[:1].upper() + said[1:].replace("_", " ") or "Of the property"


def rule_row(actor: Actor, visit: Visit, finding: Finding) -> RuleRow | None:
    """Return what the rule said, for the firm only; None for a finding by hand."""
    told: Mapping[str, Any] = finding.proposal or {}
    if not told or not finding.rule:
        return None
    edition = told.get("edition") or {}
    known = str(told.get("provenance") or "")
    return RuleRow(
        name=f"{finding.rule}, version {finding.rule_version}",
        because=str(told.get("why") or told.get("title") or ""),
        margin=str(told.get("margin") or ""),
        certainty=str(told.get("certainty") or ""),
        edition=str(edition.get("text") or ""),
        decided_by=str(edition.get("decided_by") or ""),
        source=str(told.get("source") or ""),
        provenance=PROVENANCE.get(known, known),
        cautions=tuple(f"{str(c).rstrip('.')}." for c in told.get("cautions") or ()),
        trace=tuple(map(str, told.get("trace") or ())),
        inspector=_inspectors_change(visit, finding, told),
        url=reverse("rule-read", args=[actor.firm.slug, finding.rule]),
    )


def questions(seen: Evaluation) -> tuple[FactRow, ...]:
    """Return what rules still ask for; it holds nothing up."""
    return tuple(
        FactRow(
            label=proposal.title,
            value=_asked(proposal),
            how_known=", ".join(proposal.places),
        )
        for proposal in seen.questions
    )


def set_aside(seen: Evaluation) -> tuple[FactRow, ...]:
    """Return the proposals not used, with the inspector's reason."""
    return tuple(
        FactRow(
            label=proposal.title,
            value=_because(proposal.decision),
            how_known=", ".join(proposal.places),
        )
        for proposal in seen.set_aside
    )


def after_leaving(seen: Evaluation) -> tuple[str, ...]:
    """Return what was entered off the site, counted by place and kind."""
    counts: dict[tuple[str, str], int] = {}
    for record in seen.records.values():
        if record.get("on_site") is False:
            place = seen.stop_name(record.get("stop")) or "The visit"
            key = (place, str(record["kind"]).replace("_", " "))
            counts[key] = counts.get(key, 0) + 1
    return tuple(
        f"{place}: {kind}{f', {number} entries' if number > 1 else ''}"
        for (place, kind), number in sorted(counts.items())
    )


def _value(fact: Mapping[str, Any]) -> str:
    value = fact.get("value")
    if isinstance(value, bool):
        said = "yes" if value else "no"
    elif isinstance(value, list):
        said = ", ".join(str(one).replace("_", " ") for one in value)
    else:
        said = "not known" if value is None else str(value).replace("_", " ")
    return f"{said} {fact.get('unit') or ''}".strip()


def _inspectors_change(visit: Visit, finding: Finding, told: Mapping[str, Any]) -> str:
    """Say how the finding now differs from what the rule proposed."""
    changed = []
    if finding.consequence != told.get("consequence"):
        changed.append(sentences.consequence_label(finding.consequence).lower())
    if finding.timing != told.get("timing"):
        changed.append(sentences.timing_label(finding.timing, visit.purpose).lower())
    if finding.trade != told.get("trade"):
        changed.append(sentences.trade_label(finding.trade).lower())
    if not changed:
        return f"Used by {visit.inspector.name} as proposed."
    because = f", because: {finding.level_reason}" if finding.level_reason else ""
    return f"Differs from the proposal: {', '.join(changed)}{because}"


def _asked(proposal: Proposal) -> str:
    asked = list(dict.fromkeys(str(one.get("label") or "") for one in proposal.needs))
    return f"Needs: {', '.join(filter(None, asked))}" if asked else proposal.why


def _because(decision: Mapping[str, Any]) -> str:
    reason = str(decision.get("reason") or "")
    parts = (REASONS.get(reason, reason), str(decision.get("reason_text") or ""))
    return ": ".join(part for part in parts if part) or "no reason given"
