"""One rule as a person reads it: rows in sentences, inputs, editions, live examples."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from findings.rules import examples
from findings.rules.binds import FROM_STOP, FROM_VISIT, VALUE, Source
from findings.rules.cases import COMMON_DATES
from findings.rules.examples import Example
from findings.rules.inputs import InputSpec
from findings.rules.loader import Ruleset
from findings.rules.rule import Edition, Row, Rule
from findings.rules.ruling import Level, Ruling, accuses, leveled
from findings.rules.saying import OUTCOME_WORDS, SPELLED, Words, parted, row_says
from findings.selectors.review_facts import PROVENANCE
from findings.standards.loader import words_for_systems
from findings.wording import sentences
from inspections.selectors.rows import FactRow

KINDS: Final = {
    "number": "a number",
    "count": "a whole number",
    "flag": "yes or no",
    "year": "a year",
    "date": "a date",
    "list": "several values",
    "word": "a word",
    "said": "what was said",
    "slots": "voltages at the slots",
    "size": "a wire size",
    "material": "copper, aluminum or copper-clad",
}
UNIT_WORDS: Final = {"in": "inches", "ft": "feet", "A": "amperes", "V": "volts"}
CODES: Final = {"nec": "electrical", "irc": "residential"}
DATE_ROLES: Final = {
    "built": "when it was built",
    "permit": "the day of the permit",
    "installed": "when it was put in",
    "altered": "when it was altered",
    "replaced": "when it was replaced",
    "adopted_edition": "the edition adopted",
}
GIVEN: Final = {
    **{name: DATE_ROLES[role] for name, role in COMMON_DATES.items()},
    "adoption": "editions adopted",
    "adopted_edition": "edition adopted",
    "adopted_nec": "electrical edition adopted",
    "adopted_irc": "residential edition adopted",
    "lag_years": "years until adopted",
    "rule_effective": "in effect from",
    "state_amendment": "the state's own text",
    "insulation_year": "year of the insulation",
}


@dataclass(frozen=True, slots=True)
class RowText:
    """One row: when it speaks and what it says, how much that matters, and why."""

    says: str
    reason: str
    level: str = ""
    firm_level: str = ""


@dataclass(frozen=True, slots=True)
class InputText:
    """One thing that a rule reads, with its unit and where a visit holds it."""

    label: str
    kind: str
    unit: str = ""
    where: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class EditionText:
    """One line of a rule's history."""

    year: str
    text: str
    met: str = ""
    sure: bool = True


@dataclass(frozen=True, slots=True)
class ExampleText:
    """One example as it came out when the page was made."""

    given: tuple[FactRow, ...]
    outcome: str
    values: tuple[FactRow, ...]
    why: str
    source: str
    agrees: bool
    expected: str


@dataclass(frozen=True, slots=True)
class RuleText:
    """Everything that a rule's file says, in words."""

    id: str
    title: str
    version: int
    system: str
    code: str
    source: str
    provenance: str
    seen_in: str
    unsure: str
    reads: str
    inputs: tuple[InputText, ...]
    worked_out: tuple[FactRow, ...]
    asks: tuple[str, ...]
    rows: tuple[RowText, ...]
    editions: tuple[EditionText, ...]
    cautions: tuple[str, ...]
    never: tuple[str, ...]
    examples: tuple[ExampleText, ...]
    has_hazard: bool


def rule_text(rule: Rule, ruleset: Ruleset, ruling: Ruling | None = None) -> RuleText:
    """Return a rule in words; `ruleset` is what its examples are run with."""
    words = Words(rule)
    return RuleText(
        id=rule.id,
        title=rule.title,
        version=rule.version,
        system=system_words(rule.system),
        code=CODES.get(rule.code, rule.code),
        source=rule.source,
        provenance=PROVENANCE[rule.provenance],
        seen_in=sentence(rule.seen_in),
        unsure=sentence(rule.unsure),
        reads=_reads(rule),
        inputs=tuple(_input(rule, spec) for spec in rule.inputs.values()),
        worked_out=tuple(
            FactRow(words.name(name), words.of(one.tree))
            for name, one in rule.let.items()
        ),
        asks=tuple(_asks(words, rule)),
        rows=tuple(_row(words, row, ruling) for row in rule.rows),
        editions=tuple(_edition(words, line) for line in rule.history),
        cautions=tuple(map(sentence, rule.cautions)),
        never=tuple(map(sentence, rule.never_conclude)),
        examples=tuple(
            _example(words, rule, one) for one in examples.run(rule.id, ruleset)
        ),
        has_hazard=any(
            accuses(row) and row.consequence == "could_hurt" for row in rule.rows
        ),
    )


def system_words(system: str) -> str:
    """Return a system as people call it."""
    return words_for_systems().get(system, system.replace("_", " "))


def sentence(text: str) -> str:
    """Return a text as a sentence of its own."""
    if not text:
        return ""
    whole = text[:1].upper() + text[1:]
    return whole if whole.endswith((".", "!", "?")) else f"{whole}."


def level_words(level: Level) -> str:
    """Return a level as the client of a purchase reads it."""
    if not (level.consequence and level.timing):
        return ""
    return sentences.sentence(
        level.consequence, level.timing, level.trade or "general", "purchase"
    )


def _row(words: Words, row: Row, ruling: Ruling | None) -> RowText:
    own, firm = leveled(row, None), leveled(row, ruling)
    return RowText(
        says=row_says(words, row),
        reason=sentence(words.filled(row.reason)),
        level=level_words(own),
        firm_level=level_words(firm) if firm != own else "",
    )


def _input(rule: Rule, spec: InputSpec) -> InputText:
    binds = rule.binds
    source = binds.inputs.get(spec.name) if binds else None
    notes = []
    if spec.name in rule.presumes:
        notes.append("while unknown, taken as not excusing")
    if spec.name in rule.dates:
        notes.append(f"dates it: {DATE_ROLES[rule.dates[spec.name]]}")
    if spec.low is not None or spec.high is not None:
        notes.append(_range(spec))
    choices = ", ".join(SPELLED.get(one, one.replace("_", " ")) for one in spec.choices)
    return InputText(
        label=spec.label,
        kind=choices or KINDS.get(spec.kind, spec.kind),
        unit=UNIT_WORDS.get(spec.unit, spec.unit),
        where=_where(source) if source else "",
        note="; ".join(notes),
    )


def _range(spec: InputSpec) -> str:
    if spec.high is None:
        return f"{spec.low} at least"
    if spec.low is None:
        return f"{spec.high} at most"
    return f"{spec.low} to {spec.high}"


def _where(source: Source) -> str:
    name = str(source.name).replace("_", " ")
    if source.kind == VALUE:
        return f"always {name}"
    if source.kind == FROM_VISIT:
        return f"of the visit: {name}"
    if source.kind == FROM_STOP:
        return f"of the place: {name}"
    return f"recorded as {name}"


def _reads(rule: Rule) -> str:
    """Say what a visit must hold before the rule looks at all."""
    if rule.binds is None:
        return "Gathered from several entries of the visit."
    kind = rule.binds.record.replace("_", " ")
    which = "; ".join(
        f"{name.replace('_', ' ')}: {' or '.join(v.replace('_', ' ') for v in values)}"
        for name, values in rule.binds.where.items()
    )
    return f"One answer for each {kind}{f' ({which})' if which else ''}."


def _asks(words: Words, rule: Rule) -> Iterator[str]:
    for ask in rule.asks:
        yield sentence(f"asks “{words.filled(ask.say)}” if {words.of(ask.when.tree)}")
    for one in rule.contradictions:
        names = " and ".join(words.name(name) for name in one.between)
        yield sentence(f"{names} cannot both be so: {words.filled(one.say)}")


def _edition(words: Words, line: Edition) -> EditionText:
    year = f"{line.year}, by some until {line.until}" if line.until else f"{line.year}"
    return EditionText(
        year=year,
        text=line.text,
        met=words.of(line.needs.tree) if line.needs else "",
        sure=line.sure,
    )


def _example(words: Words, rule: Rule, one: Example) -> ExampleText:
    return ExampleText(
        given=tuple(_given(rule, one.inputs)),
        outcome=OUTCOME_WORDS.get(one.outcome, one.outcome.replace("_", " ")),
        values=tuple(
            FactRow(words.name(name), f"{_value(value)} {_unit(rule, name)}".strip())
            for name, value in one.values.items()
            if name not in one.inputs
        ),
        why=sentence(one.why),
        source=one.source,
        agrees=one.agrees,
        expected=OUTCOME_WORDS.get(one.expected, one.expected.replace("_", " ")),
    )


def _given(rule: Rule, inputs: Mapping[str, Any]) -> Iterator[FactRow]:
    for name, value in inputs.items():
        spec = rule.inputs.get(name)
        label = spec.label if spec else GIVEN.get(name, name.replace("_", " "))
        unit = f" {spec.unit}" if spec and spec.unit and not _many(value) else ""
        yield FactRow(label, f"{_value(value)}{unit}")


def _unit(rule: Rule, name: str) -> str:
    spec = rule.inputs.get(name)
    return spec.unit if spec else parted(name)[1]


def _many(value: Any) -> bool:
    return isinstance(value, list | dict | bool) or value in (None, "unknown")


def _value(value: Any) -> str:
    if isinstance(value, Mapping):
        return ", ".join(f"{k.replace('_', ' ')} {_value(v)}" for k, v in value.items())
    if isinstance(value, list):
        return "; ".join(map(_value, value)) or "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None:
        return "not known"
    return SPELLED.get(str(value), str(value).replace("_", " "))
