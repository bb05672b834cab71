"""All proposals of a visit: facts in, one quiet line for each thing that matters out.

Order: hazards now, then what the state's pack asks to be reported, then what is
plainly so, then what the calendar says, then what could be settled by another fact.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from findings.rules import (
    bindings_house,
    confirming,
    contradictory,
    merging,
    own,
    rulings,
    settling,
    tree,
)
from findings.rules.bindings import (
    Binding,
    Bindings,
    Conflicts,
    Fact,
    Folded,
    View,
    field_words,
)
from findings.rules.engine import QUIET, Outcome
from findings.rules.era import Dates, Span
from findings.rules.gathering import gatherers
from findings.rules.inputs import BadInput
from findings.rules.kept import Kept, Part
from findings.rules.loader import Ruleset, Timeline
from findings.rules.merging import AGE_NOTES, CALENDAR
from findings.rules.noted import NotedView
from findings.rules.outcomes import Outcomes
from findings.rules.proposal import Proposal
from findings.rules.rule import DATE_ROLES, Rule
from findings.rules.ruling import accuses, leveled
from findings.rules.timelines import places_of
from findings.rules.tree import Tree

BY_DUTY = "deficient_by_duty"
TOLD = "informational"
HAZARDS = frozenset({"defect_now", "needs_specialist_urgent", "needs_specialist"})


@dataclass(frozen=True)
class Result:
    """What is offered, what was set aside with its reason, and what is only told.

    `beside` holds by record what a value means where nothing is to be proposed, such
    as an age beside a published range.
    """

    proposals: list[Proposal]
    set_aside: list[Proposal]
    beside: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def proposals(
    folded: Folded,
    conflicts: Conflicts,
    property_facts: Mapping[str, Any],
    ruleset: Ruleset,
    timeline: Timeline | None,
    pack_rules: Mapping[str, Any] | Iterable[str] = (),
    *,
    ticked: Iterable[str] = (),
) -> list[Proposal]:
    """Say what the rules offer for a visit, in their fixed order.

    property_facts: {state, built_from, built_to, built_source, permit_date?, city?,
    county?, plumbing_family?, mechanical_family?}; a county or city may have lines
    that outrank the state's.
    pack_rules: rule ids, passages or topics that the state wants reported as deficient,
    each with the duty that says so. ticked: rules from memory that the firm's reader
    confirmed.
    """
    return review(
        folded, conflicts, property_facts, ruleset, timeline, pack_rules, ticked=ticked
    ).proposals


def review(
    folded: Folded,
    conflicts: Conflicts,
    property_facts: Mapping[str, Any],
    ruleset: Ruleset,
    timeline: Timeline | None,
    pack_rules: Mapping[str, Any] | Iterable[str] = (),
    *,
    ticked: Iterable[str] = (),
    kept: Kept | None = None,
) -> Result:
    """Give the proposals of a visit and those the inspector set aside.

    `kept` holds what was made of the same visit before; then only what changed is
    worked out. The answer is the same without it.
    """
    apart = contradictory.found(View(folded, conflicts), property_facts)
    property_facts = contradictory.dated(property_facts, apart)
    view = View(folded, contradictory.unsettled(conflicts, apart), property_facts)
    duties = (
        dict(pack_rules)
        if isinstance(pack_rules, Mapping)
        else dict.fromkeys(pack_rules, "")
    )
    rules = rulings.in_play(ruleset, view)
    places = _places(view, property_facts)
    work = _Work(
        view, property_facts, rules, timeline, duties, frozenset(ticked), places
    )
    whole = tree.build(view)
    parts = work.parts(whole, kept or Kept())
    found = [
        *settling.lines(view, whole, conflicts, apart),
        *(one for part in parts for one in part.proposals),
    ]
    offered, aside = merging.decided(view, found)
    offered = [one for one in offered if one.decision or one.rule not in ruleset.off]
    told: dict[str, tuple[str, ...]] = {}
    for record, why in (pair for part in parts for pair in part.beside):
        told[record] = (*told.get(record, ()), why)
    return Result(offered, aside, told)


def _places(view: View, facts: Mapping[str, Any]) -> tuple[str, ...]:
    """Give the city and county, whose own lines outrank the state's."""
    county = view.get(view.only("visit"), "county") or facts.get("county")
    return places_of(facts.get("city"), county)


def _of_its_own(rule: Rule, bound: Binding, dates: Dates) -> Dates:
    """Put what dates the item itself before what dates the house."""
    own: dict[str, Any] = {
        role: Span.of(bound.inputs[name])
        for name, role in rule.dates.items()
        if role in DATE_ROLES and bound.inputs.get(name) is not None
    }
    return replace(dates, **own) if own else dates


@dataclass(frozen=True)
class _Work:
    view: View
    property_facts: Mapping[str, Any]
    ruleset: Ruleset
    timeline: Timeline | None
    duties: Mapping[str, Any]
    ticked: frozenset[str]
    places: tuple[str, ...] = ()
    outcomes: Outcomes = field(default_factory=Outcomes)
    beside: dict[str, list[str]] = field(default_factory=dict)

    def parts(self, whole: Tree, kept: Kept) -> list[Part]:
        """Every part of the visit; with what it rests on beside the records."""
        context = (
            self.ruleset, self.timeline, dict(self.property_facts), dict(self.duties),
            self.ticked, self.places,
        )  # fmt: skip
        with kept.lock:
            return kept.run(
                context, self.view, whole, gatherers(self.ruleset), self.part
            )

    def part(self, view: NotedView, bindings: Bindings) -> Part:
        """One proposal for each binding whose rule has something to say."""
        mine = _Work(
            view, self.property_facts, self.ruleset, self.timeline, self.duties,
            self.ticked, self.places, self.outcomes,
        )  # fmt: skip
        said = tuple(filter(None, map(mine.said, bindings)))
        told = [(one, why) for one, found in mine.beside.items() for why in found]
        return Part(said, tuple(told), frozenset(view.reads))

    def said(self, bound: Binding) -> Proposal | None:
        """Say what a binding's rule has to say, if anything."""
        if bound.rule not in self.ruleset.rules:
            return None  # the firm switched it off
        try:
            return self._one(bound)
        except own.BAD as error:
            return self._failed(bound, error)

    def _failed(self, bound: Binding, error: Exception) -> Proposal:
        """Say that a rule of the firm's own breaks on these facts; others must not."""
        if not bound.rule.startswith(own.PREFIX):
            raise error
        why = f"the firm's rule could not be worked out: {error}"
        return self._base(bound, Outcome(bound.rule, "undetermined", why=why))

    def _one(self, bound: Binding) -> Proposal | None:
        rule = self.ruleset.rules[bound.rule]
        dates = bindings_house.dates_of(self.view, bound, self.property_facts)
        dates = _of_its_own(rule, bound, dates)
        try:
            outcome = confirming.run(
                self.view, bound, rule, lambda one: self._run(one, bound, dates)
            )
        except BadInput as error:
            return self._asking(bound, Outcome(rule.id, "undetermined", why=str(error)),
                                [error.field])  # fmt: skip
        if outcome.confirm:
            return self._asking(bound, outcome, list(outcome.needs))
        if outcome.outcome == "undetermined":
            wanted = [name for name in outcome.needs if name in bound.ask]
            return self._asking(bound, outcome, wanted) if wanted else None
        row = outcome.row
        if row is not None and not row.consequence and outcome.outcome == TOLD:
            self.beside.setdefault(bound.subject, []).append(outcome.why)
        # A dated row can come out ok; it then has a consequence and nothing to say.
        if row is None or not row.consequence or outcome.outcome == "ok":
            return None
        # An estimate never makes a deficiency: it asks for the thing to be measured.
        if bound.estimated and outcome.outcome not in QUIET:
            guessed = [n for n, f in bound.sources.items() if f in bound.estimated]
            words = replace(outcome, why="only estimated; measure or read it")
            return self._asking(bound, words, guessed)
        return self._speaking(bound, outcome)

    def _run(self, rule: Rule, bound: Binding, dates: Dates) -> Outcome:
        """Evaluate a rule, once for the same inputs and dates of this visit."""
        return self.outcomes.run(rule, bound.inputs, dates, self._with_lines)

    def _with_lines(self, rule: Rule, dates: Dates) -> Dates:
        if self.timeline is None:
            return dates
        return self.timeline.dates(dates, rule.topic, rule.code, self.places)

    def _speaking(self, bound: Binding, outcome: Outcome) -> Proposal:
        row = outcome.row
        if row is None:
            raise ValueError(f"{bound.rule} spoke without a row")
        base = self._base(bound, outcome)
        ruling = self.ruleset.levels.get(bound.rule) if accuses(row) else None
        level = leveled(row, ruling)
        dated = bool(outcome.edition) or outcome.outcome in CALENDAR
        duty = self._duty(bound.rule, row.passage) if dated else None
        edition = dict(outcome.edition)
        name = outcome.outcome
        if duty is not None:
            name = BY_DUTY
            edition |= {"text": "the state names it as deficient, whatever the year",
                        "decided_by": f"duty {duty}".strip()}  # fmt: skip
        return replace(
            base,
            outcome=name,
            consequence=level.consequence,
            timing=level.timing,
            trade=level.trade,
            passage=row.passage,
            blanks=self._blanks(bound, outcome),
            age_note=AGE_NOTES.get(str(edition.get("status", "")), ""),
            margin=outcome.margin,
            edition=edition,
            # By the rule's own row: a firm's level never hides that it is one.
            hazard=name in HAZARDS and row.consequence == "could_hurt",
            why="; ".join(filter(None, (base.why, ruling.said if ruling else ""))),
            ruling=ruling.said if ruling else "",
            trace=[*base.trace, *([ruling.traced] if ruling else [])],
            needs=[
                {"record": record, "field": name, "label": field_words(name)}
                for record, name in bound.also
            ],
        )

    def _duty(self, rule_id: str, passage: str) -> str | None:
        """Give the duty that wants this reported as deficient at any date, or None."""
        topic = self.ruleset.rules[rule_id].topic
        for key in (rule_id, passage, topic):
            if key in self.duties:
                return str(self.duties[key] or key)
        return None

    def _blanks(self, bound: Binding, outcome: Outcome) -> dict[str, str]:
        """Every value a passage may want, as text; unknown ones are left out."""
        blanks = {
            name: _text(value)
            for name, value in outcome.fields.items()
            if isinstance(value, str | int) and not isinstance(value, bool)
        }
        return {**blanks, **bound.blanks, "place": bound.place}

    def _asking(
        self, bound: Binding, outcome: Outcome, names: list[str]
    ) -> Proposal | None:
        needs = [
            {
                "record": bound.sources[name].record,
                "field": bound.sources[name].field,
                "label": bound.sources[name].label,
            }
            for name in names
            if name in bound.sources
        ]
        return replace(self._base(bound, outcome), needs=needs) if needs else None

    def _base(self, bound: Binding, outcome: Outcome) -> Proposal:
        rule = self.ruleset.rules[bound.rule]
        seen: dict[tuple[str, str], Fact] = {
            (fact.record, fact.field): fact for fact in bound.facts
        }
        return Proposal(
            key=f"{rule.id}:{bound.subject}",
            rule=rule.id,
            rule_version=self.ruleset.version_of(rule),
            system=rule.system,
            item=bound.item,
            subject=bound.subject,
            subjects=[bound.subject],
            stop=bound.stop,
            places=[bound.place] if bound.place else [],
            title=rule.title,
            facts=[fact.as_dict() for fact in seen.values()],
            outcome="undetermined",
            consequence="",
            timing="",
            trade="",
            passage="",
            blanks={},
            age_note="",
            certainty=self._certainty(bound, outcome),
            margin="",
            edition={},
            source=rule.source,
            provenance=rule.provenance,
            cautions=list(rule.cautions),
            trace=list(outcome.trace),
            needs=[],
            firm_only=rule.provenance == "memory" and rule.id not in self.ticked,
            hazard=False,
            topic=rule.topic,
            why=outcome.why,
        )

    def _certainty(self, bound: Binding, outcome: Outcome) -> str:
        compared = any(
            self.view.folded.get(fact.record, {}).get("how") == "compared"
            for fact in bound.facts
            if fact.field in ("size", "material")
        )
        words = "; size by comparison, not read" if compared else ""
        return f"{outcome.certainty}{words}"


MATERIALS = {"cu": "copper", "al": "aluminium", "cca": "copper_clad_aluminium"}


def _text(value: Any) -> str:
    return MATERIALS.get(value, str(value).replace("_", " "))
