"""What a firm decides about rules, and the tick of its licensed reader."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from django.db import IntegrityError, transaction

from findings.models import DutyCheck, RuleRuling
from findings.rules import loader, own
from findings.rules.rule import CONSEQUENCES, TIMINGS, TRADES
from findings.rules.yamlfile import RuleFileError
from findings.selectors import rulings
from findings.selectors.shelf import shelf_of
from firm import audit
from firm.actor import Actor
from firm.errors import BadInput, NotAllowed, Refusal

Kind = RuleRuling.Kind
NAME: Final = re.compile(r"[a-z][a-z0-9_]{1,39}")
LEVELS: Final = {"consequence": CONSEQUENCES, "timing": TIMINGS, "trade": TRADES}


class UnableToDecide(Refusal):
    """Somebody else decided about the rule meanwhile, or nothing would change."""

    code = "unable-to-decide"


@dataclass(frozen=True, slots=True)
class Decided:
    """About which rule, why, and the number of the ruling that was on the screen."""

    rule: str
    reason: str
    shown: int


@transaction.atomic
def switch(*, actor: Actor, decided: Decided, on: bool) -> RuleRuling:
    """Switch a rule off, or take it again as the book has it."""
    actor.require("rules.decide")
    last = _last(actor, decided.rule)
    if not on and last is not None and last.kind == Kind.OFF:
        raise UnableToDecide("This rule is off already.")
    if on and (last is None or last.kind in {Kind.ON, Kind.OWN}):
        raise UnableToDecide("This rule is on already, as it is written.")
    return _write(actor, decided, Kind.ON if on else Kind.OFF)


@transaction.atomic
def set_level(*, actor: Actor, decided: Decided, **level: str) -> RuleRuling:
    """Put the firm's level in the place of a rule's own; empty parts stay."""
    actor.require("rules.decide")
    for name, value in level.items():
        if value and value not in LEVELS[name]:
            raise BadInput("Choose one of those listed.", field=name)
    if not any(level.values()):
        raise BadInput("Choose what is to differ.", field="consequence")
    return _write(actor, decided, Kind.LEVEL, **level)


@transaction.atomic
def write_own(
    *, actor: Actor, name: str, definition: str, reason: str, shown: int
) -> RuleRuling:
    """Write a rule of the firm's own, or write it anew. Raises BadInput."""
    actor.require("rules.decide")
    if not NAME.fullmatch(name):
        raise BadInput(
            "Small letters, figures and underscores, beginning with a letter.",
            field="name",
        )
    rule = f"{own.PREFIX}{name}"
    last = _last(actor, rule)
    if shown == 0 and last is not None:
        raise BadInput("There is a rule of this name already.", field="name")
    number = last.number + 1 if last else 1
    try:
        read = own.read(
            definition, rule, number, loader.ruleset().tables, rulings.kinds()
        )
    except RuleFileError as error:
        said = f"Line {error.line}, {error.key}: {error.told}"
        raise BadInput(said, field="definition") from error
    known = shelf_of(actor).passages
    for row in read.rows:
        if row.passage and row.passage not in known:
            said = f"rows: the library has no passage {row.passage!r}"
            raise BadInput(said, field="definition")
    _take_back_tick(actor, rule)
    decided = Decided(rule, reason, shown)
    return _write(actor, decided, Kind.OWN, definition=definition)


@transaction.atomic
def tick(*, actor: Actor, rule: str, version: str, today: date) -> DutyCheck:
    """Record that the licensed reader has read a rule against its source."""
    if not rulings.may_tick(actor, today):
        raise NotAllowed(
            "A rule is ticked by an owner or reviewer whose license is valid today."
        )
    if rulings.version_now(actor, rule) != version:
        raise UnableToDecide("The rule changed while you read it. Read it again.")
    row, _ = DutyCheck.objects.update_or_create(
        firm=actor.firm,
        what=rule,
        defaults={
            "checked_by_id": actor.member_id,
            "checked_on": today,
            "note": rulings.read_as(version),
        },
    )
    audit.record(
        actor=actor,
        event="rule.ticked",
        subject=f"rule:{rule}",
        detail={"version": version},
    )
    return row


def _last(actor: Actor, rule: str) -> RuleRuling | None:
    rows = RuleRuling.objects.filter(firm=actor.firm, rule=rule)
    return rows.order_by("-number").first()


def _write(
    actor: Actor, decided: Decided, kind: RuleRuling.Kind, **fields: Any
) -> RuleRuling:
    if not decided.reason.strip():
        raise BadInput("Say why, in a few words.", field="reason")
    last = _last(actor, decided.rule)
    number = last.number if last else 0
    moved_on = UnableToDecide(
        "Somebody else decided about this rule meanwhile. Look again, then decide."
    )
    if decided.shown != number:
        raise moved_on
    try:
        with transaction.atomic():
            row = RuleRuling.objects.create(
                firm=actor.firm,
                rule=decided.rule,
                number=number + 1,
                kind=kind,
                reason=decided.reason.strip(),
                author_id=actor.member_id,
                **fields,
            )
    except IntegrityError as error:
        raise moved_on from error
    audit.record(
        actor=actor,
        event=f"rule.{EVENTS[kind]}",
        subject=f"rule:{decided.rule}",
        detail={"number": row.number, "reason": row.reason} | _told(fields),
    )
    return row


EVENTS: Final = {
    Kind.OFF: "switched_off",
    Kind.ON: "switched_on",
    Kind.LEVEL: "level_set",
    Kind.OWN: "written",
}


def _told(fields: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in fields.items() if value}


def _take_back_tick(actor: Actor, rule: str) -> None:
    """Let the new words wait for the reader again: what was ticked read otherwise."""
    gone, _ = DutyCheck.objects.filter(firm=actor.firm, what=rule).delete()
    if gone:
        audit.record(actor=actor, event="rule.unticked", subject=f"rule:{rule}")
