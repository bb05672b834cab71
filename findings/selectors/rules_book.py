"""The rules book of a firm: every rule with its tick, its use and what was decided."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from django.urls import reverse

from findings import kept
from findings.models import DutyCheck, RuleRuling
from findings.rules import loader, written
from findings.rules.loader import Ruleset
from findings.rules.own import PREFIX, SAID
from findings.rules.rule import CONSEQUENCES, OUTCOMES, TIMINGS, TRADES, Rule
from findings.rules.ruling import Level, accuses
from findings.rules.saying import OUTCOME_WORDS
from findings.selectors.review_facts import PROVENANCE
from findings.selectors.rule_pages import (
    BookPage,
    BrokenRow,
    OwnPage,
    RulePage,
    RuleRow,
    RulingRow,
    SystemRows,
    UsageRows,
)
from findings.selectors.rule_text import level_words, rule_text, system_words
from findings.selectors.rule_usage import NONE, Usage, usage
from findings.selectors.rulings import (
    kinds,
    may_tick,
    read_as,
    rules_of,
    rulings_by_rule,
)
from findings.wording import sentences
from firm.actor import Actor
from inspections.selectors.rows import FactRow

Kind: Final = RuleRuling.Kind
LATER: Final = "Its words have changed since: read it again."


@dataclass(frozen=True, slots=True)
class Book:
    """Everything that the pages are made of; nothing here asks the database again."""

    actor: Actor
    rules: Ruleset
    rulings: Mapping[str, Sequence[RuleRuling]]
    ticks: Mapping[str, DutyCheck]
    usage: Mapping[str, Usage]

    def every(self) -> dict[str, Rule]:
        """Return all rules, those switched off among them."""
        return {**self.rules.rules, **self.rules.off}


def book(actor: Actor, rule: str = "") -> Book:
    """Return the firm's book: five queries, however much it decided."""
    ticks = DutyCheck.objects.filter(firm=actor.firm).select_related("checked_by")
    return Book(
        actor=actor,
        rules=rules_of(actor),
        rulings=rulings_by_rule(actor),
        ticks={row.what: row for row in ticks},
        usage=usage(actor, rule),
    )


def list_page(actor: Actor, query: str) -> BookPage:
    """Return the rules by system; with a query, those that hold all its words."""
    held = book(actor)
    words = query.casefold().split()
    every = held.every().values()
    found = [
        one for one in every if all(word in _searched(held, one) for word in words)
    ]
    return BookPage(
        query=query,
        url=_url(actor, "rule-list"),
        found=len(found),
        total=len(every),
        systems=tuple(_systems(held, found)),
        broken=tuple(
            BrokenRow(name, _url(actor, "rule-read", name), where)
            for name, where in sorted(held.rules.broken.items())
        ),
        own_url=_url(actor, "rule-own") if actor.can("rules.decide") else "",
        older=tuple(
            f"{name}: {kept.said(name)}"
            for name in sorted(kept.refused)
            if name == "rules" or name.startswith("timeline-")
        ),
    )


def rule_page(actor: Actor, name: str, now: datetime) -> RulePage:
    """Return one rule of the book; the number of queries never grows."""
    held = book(actor, name)
    rule = held.every().get(name)
    past = held.rulings.get(name, ())
    today = day_of(actor, now)
    level = held.rules.levels.get(name)
    texts = [row.definition for row in past if row.kind == Kind.OWN]
    tick = held.ticks.get(name)
    return RulePage(
        rule=name,
        title=rule.title if rule else name,
        book_url=_url(actor, "rule-list"),
        standing=_standing(held, name),
        text=rule_text(rule, _examples_with(held, name), level) if rule else None,
        broken=held.rules.broken.get(name, ""),
        own=name.startswith(PREFIX),
        ticked=_ticked(tick, rule),
        tick_waits=_tick_waits(rule, tick),
        usage=_usage_rows(held.usage.get(name, NONE)),
        rulings=tuple(_ruling(actor, row) for row in reversed(past)),
        shown=past[-1].number if past else 0,
        version=str(rule.version) if rule else "",
        definition=texts[-1] if texts else "",
        is_off=name in held.rules.off,
        is_changed=bool(past) and past[-1].kind in {Kind.OFF, Kind.LEVEL},
        levels=levels(),
        **_urls(held, name, rule, today),
    )


def own_page(actor: Actor, like: str) -> OwnPage:
    """Return the page of a new rule, begun with the text of another one."""
    known = loader.ruleset().rules.get(like)
    text = written.like(known.id) if known and known.binds else ""
    called = {name: OUTCOME_WORDS[one] for name, one in SAID.items()}
    plain = {one: OUTCOME_WORDS[one] for one in OUTCOMES - set(SAID.values())}
    outcomes = (f"{name} ({said})" for name, said in {**plain, **called}.items())
    lists = {"outcome": outcomes, "consequence": CONSEQUENCES, "timing": TIMINGS}
    return OwnPage(
        book_url=_url(actor, "rule-list"),
        text=text,
        like=known.title if known and text else "",
        kinds=tuple(
            FactRow(kind, ", ".join(sorted(fields))) for kind, fields in sorted(kinds())
        ),
        words=tuple(
            FactRow(name, ", ".join(sorted(words)))
            for name, words in {**lists, "trade": TRADES}.items()
        ),
    )


def day_of(actor: Actor, now: datetime) -> date:
    """Return the day it is where the firm is."""
    return now.astimezone(ZoneInfo(actor.firm.time_zone)).date()


def _examples_with(held: Book, name: str) -> Ruleset:
    """Return the rules to run examples with: one that is off has examples too."""
    return held.rules if name in held.rules.rules else loader.ruleset()


def _searched(held: Book, rule: Rule) -> str:
    parts = (
        rule.title,
        rule.id,
        rule.topic,
        rule.source,
        system_words(rule.system),
        PROVENANCE[rule.provenance],
        _standing(held, rule.id),
        "ticked" if rule.id in held.ticks else "unticked",
    )
    return " ".join(parts).replace("_", " ").casefold()


def _systems(held: Book, found: Iterable[Rule]) -> Iterable[SystemRows]:
    by_system: dict[str, list[Rule]] = defaultdict(list)
    for rule in found:
        by_system[rule.system].append(rule)
    for system in sorted(by_system, key=system_words):
        rules = sorted(by_system[system], key=lambda one: one.title.casefold())
        rows = tuple(_row(held, rule) for rule in rules)
        name = system_words(system)
        yield SystemRows(system, f"{name[:1].upper()}{name[1:]}", rows)


def _row(held: Book, rule: Rule) -> RuleRow:
    return RuleRow(
        title=rule.title,
        url=_url(held.actor, "rule-read", rule.id),
        provenance=PROVENANCE[rule.provenance],
        ticked=_ticked(held.ticks.get(rule.id), rule),
        standing=_standing(held, rule.id),
        usage=held.usage.get(rule.id, NONE).said,
    )


def _standing(held: Book, name: str) -> str:
    """Say how the firm departs from the book; nothing where it does not."""
    if name in held.rules.off:
        return "switched off"
    if name in held.rules.levels:
        return "level set by the firm"
    if name in held.rules.broken:
        return "cannot be read"
    return "written by the firm" if name.startswith(PREFIX) else ""


def _ticked(tick: DutyCheck | None, rule: Rule | None) -> str:
    if tick is None:
        return ""
    said = f"Ticked by {tick.checked_by.name}, {_day(tick.checked_on)}."
    if rule is not None and tick.note.startswith(read_as("")):
        return said if tick.note == read_as(str(rule.version)) else f"{said} {LATER}"
    return said


def _tick_waits(rule: Rule | None, tick: DutyCheck | None) -> str:
    """Say what waits for the tick of the firm's licensed reader."""
    if rule is None or tick is not None:
        return ""
    if rule.provenance == "memory":
        return "From memory: what rests on it stays in the firm until it is ticked."
    return "Not ticked yet."


def _usage_rows(counted: Usage) -> UsageRows:
    if not counted.said:
        return UsageRows()
    return UsageRows(
        counts=(
            FactRow("Used", str(counted.used)),
            FactRow("Level changed", str(counted.level_changed)),
            FactRow("Words changed", str(counted.words_changed)),
            FactRow("Taken out again", str(counted.taken_out)),
            FactRow("Set aside", str(counted.set_aside)),
        ),
        reasons=tuple(
            FactRow(f"{words[:1].upper()}{words[1:]}", str(times))
            for words, times in sorted(counted.reasons.items())
        ),
    )


def _ruling(actor: Actor, row: RuleRuling) -> RulingRow:
    there = row.made_at.astimezone(ZoneInfo(actor.firm.time_zone))
    return RulingRow(
        number=row.number,
        what=_what(row),
        reason=row.reason,
        author=row.author.name,
        on=_day(there.date()),
        definition=row.definition,
    )


def _what(row: RuleRuling) -> str:
    if row.kind != Kind.LEVEL:
        return Kind(row.kind).label
    whole = level_words(Level(row.consequence, row.timing, row.trade))
    if whole:
        return f"Level set by the firm: {whole}"
    parts = (
        sentences.consequence_label(row.consequence) if row.consequence else "",
        sentences.timing_label(row.timing, "purchase") if row.timing else "",
        sentences.trade_label(row.trade) if row.trade else "",
    )
    return f"Level set by the firm: {', '.join(filter(None, parts)).lower()}"


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"


def levels() -> dict[str, tuple[tuple[str, str], ...]]:
    lists = {
        "consequence": sentences.consequence_choices(),
        "timing": sentences.timing_choices("purchase"),
        "trade": sentences.trade_choices(),
    }
    return {
        name: tuple((one.key, one.label) for one in found)
        for name, found in lists.items()
    }


def _urls(held: Book, name: str, rule: Rule | None, today: date) -> dict[str, str]:
    """Return the addresses of what this person may do with the rule now."""
    actor = held.actor
    decides = actor.can("rules.decide")
    leveled = rule is not None and any(map(accuses, rule.rows))
    may = {
        "tick_url": ("rule-tick", rule is not None and may_tick(actor, today)),
        "switch_url": ("rule-switch", decides and rule is not None),
        "level_url": ("rule-level", decides and leveled),
        "write_url": ("rule-write", decides and name.startswith(PREFIX)),
    }
    urls = {
        key: _url(actor, address, name) if allowed else ""
        for key, (address, allowed) in may.items()
    }
    copied = decides and rule is not None and rule.binds and not urls["write_url"]
    like = f"{_url(actor, 'rule-own')}?like={name}" if copied else ""
    return urls | {"like_url": like}


def _url(actor: Actor, name: str, *args: str) -> str:
    return reverse(name, args=[actor.firm.slug, *args])
