"""Proposals as quiet lines, with where they are answered and what was decided."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, Final

from findings.rules.confirming import TYPED
from findings.rules.merging import CALENDAR
from findings.rules.proposal import Proposal
from findings.selectors.evaluation import Decision
from findings.selectors.field.ground import Ground
from findings.selectors.field.routes import labels, value_words
from findings.selectors.field.rows import (
    ChoiceRow,
    DecisionChoices,
    NeedRow,
    ProposalRow,
)
from findings.selectors.field.said import entry_url
from findings.selectors.review_facts import REASONS
from findings.wording import sentences
from inspections.selectors.rows import FactRow

ANSWERED: Final = {
    "use": "used",
    "change": "used, with your changes",
    "not_here": "set aside",
}


def at_stop(base: Ground, stop: str) -> list[Proposal]:
    """Return what is offered at a stop; what concerns the house, at the last one."""
    route = base.stops()
    last = route[-1][0] if route else ""

    def here(proposal: Proposal) -> bool:
        places = {proposal.stop} | {
            base.stop_of(base.records.get(subject, {})) or proposal.stop
            for subject in proposal.subjects
        }
        known = {place for place in places if place in base.records}
        return stop in known if known else stop == last

    return [one for one in (*base.seen.proposals, *base.seen.set_aside) if here(one)]


def about_panel(base: Ground, enclosure: str) -> list[Proposal]:
    """Return what is offered about an enclosure and its spaces."""
    own = {enclosure} | {
        key
        for key, record in base.seen.of_kind("space")
        if record.get("enclosure") == enclosure
    }
    every = (*base.seen.proposals, *base.seen.set_aside)
    return [one for one in every if own & {one.subject, *one.subjects}]


def waiting(base: Ground, offered: Iterable[Proposal]) -> list[Proposal]:
    """Return those that still want an answer, questions last."""
    aside = {one.key for one in base.seen.set_aside}
    return [
        one
        for one in offered
        if one.key not in base.seen.decisions and one.key not in aside
    ]


def rows(
    base: Ground, offered: Iterable[Proposal], origin: str, aged: Callable[..., bool]
) -> tuple[ProposalRow, ...]:
    decide = f"{base.url('proposal-decide')}?from={origin}"
    return tuple(_row(base, one, decide) for one in offered if aged(one))


def now(proposal: Proposal) -> bool:
    return proposal.outcome not in CALENDAR


def of_age(proposal: Proposal) -> bool:
    return proposal.outcome in CALENDAR


def decided(base: Ground, offered: Iterable[Proposal]) -> tuple[FactRow, ...]:
    """Return what was answered here, with the answer in words."""
    return tuple(
        FactRow(one.title, _answer(said), ", ".join(one.places))
        for one in offered
        if (said := base.seen.decisions.get(one.key))
    )


def choices(base: Ground) -> DecisionChoices:
    purpose = base.visit.purpose
    return DecisionChoices(
        consequences=tuple(
            ChoiceRow(one.key, one.label) for one in sentences.consequence_choices()
        ),
        timings=tuple(
            ChoiceRow(one.key, one.label) for one in sentences.timing_choices(purpose)
        ),
        reasons=tuple(ChoiceRow(key, label) for key, label in REASONS.items()),
    )


def _row(base: Ground, one: Proposal, decide: str) -> ProposalRow:
    edition = "; ".join(
        str(one.edition[key]) for key in ("text", "decided_by") if one.edition.get(key)
    )
    return ProposalRow(
        key=one.key,
        title=one.title,
        facts=tuple(_fact(base, fact) for fact in one.facts),
        certainty=_sentence(one.certainty),
        decide_url=decide,
        consequence=one.consequence,
        timing=one.timing,
        margin=_sentence(one.margin),
        places=tuple(one.places),
        age_note=one.age_note,
        source=one.source,
        edition=_sentence(edition),
        cautions=tuple(_sentence(caution) for caution in one.cautions),
        needs=_needs(base, one),
        hazard=one.hazard,
        firm_only=one.firm_only,
        asks=not one.consequence,
        asks_why=_asks_why(one),
        confirms=_confirms(base, one),
        ruling=_sentence(one.ruling),
    )


def _needs(base: Ground, one: Proposal) -> tuple[NeedRow, ...]:
    found = {
        (need["record"], need["field"]): NeedRow(
            _field_label(base, need), entry_url(base, need["record"])
        )
        for need in one.needs
    }
    return tuple(found.values())


def _field_label(base: Ground, named: dict[str, Any]) -> str:
    kind = str(base.records.get(named["record"], {}).get("kind") or "")
    told = labels().kinds.get(kind)
    field = told.fields.get(named["field"]) if told else None
    plain = str(named.get("label") or named["field"].replace("_", " "))
    return field.label if field else plain


def _fact(base: Ground, fact: dict[str, Any]) -> FactRow:
    how = str(fact.get("how_known") or "")
    unit = str(fact.get("unit") or "")
    return FactRow(
        label=labels().facts.get(
            str(fact.get("field")), str(fact.get("label") or "").lower()
        ),
        value=f"{value_words(fact.get('value'))} {unit}".strip(),
        how_known="" if how == "seen" else value_words(how),
        url=entry_url(base, str(fact.get("record") or "")),
    )


def _answer(said: Decision) -> str:
    reason = REASONS.get(said.reason, "")
    parts = [ANSWERED[said.choice], reason, said.reason_text]
    return ": ".join(part for part in parts if part)


def _sentence(text: str) -> str:
    if not text:
        return ""
    whole = text[:1].upper() + text[1:]
    return whole if whole.endswith((".", "!", "?")) else f"{whole}."


def _confirms(base: Ground, one: Proposal) -> str:
    """Return the values that a rule asks to look at once more, as one answer."""
    if one.consequence or not one.why.endswith(TYPED):
        return ""
    asked = {(need["record"], need["field"]) for need in one.needs}
    facts = [
        _fact(base, fact) for fact in one.facts
        if (fact["record"], fact["field"]) in asked
    ]  # fmt: skip
    return f"Yes, {', '.join(fact.value for fact in facts)}" if facts else ""


def _asks_why(one: Proposal) -> str:
    """Say why a proposal only asks; what it lacks stands below it anyway."""
    if one.consequence or not one.why or one.why.startswith(("cannot tell", "Two")):
        return ""
    return _sentence(one.why)
