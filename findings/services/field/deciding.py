"""What the inspector answers to a proposal: use, change, not here, or open again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import uuid5

from findings.rules.confirming import TYPED
from findings.selectors.evaluation import Evaluation, evaluate
from findings.selectors.field.quieting import covers
from findings.wording.sentences import levels
from firm.actor import Actor
from firm.errors import BadInput
from inspections.models import Visit
from inspections.services import pages

NOTHING: dict[str, Any] = dict.fromkeys(
    ("choice", "reason", "reason_text", "consequence", "timing", "covers")
)


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer; `shown` is the log's version that was on the page."""

    keys: tuple[str, ...]
    choice: str
    reason: str = ""
    reason_text: str = ""
    consequence: str = ""
    timing: str = ""
    shown: int | None = None


def decide(*, actor: Actor, visit: Visit, answer: Answer, now: datetime) -> None:
    """Write the answer as a record of its own for each proposal that it is given to.

    Several at once only where the inspector's own reason quiets them already, or to
    take such an answer back. Raises BadInput naming the field, NotAllowed.
    """
    seen = evaluate(actor, visit)
    if len(answer.keys) > 1 and answer.choice != "open":
        _check_repeats(seen, answer)
    pages.write(
        actor=actor,
        visit=visit,
        shown=visit.version if answer.shown is None else answer.shown,
        typed=[one for key in answer.keys for one in _typed(seen, visit, answer, key)],
        now=now,
    )


def _typed(
    seen: Evaluation, visit: Visit, answer: Answer, key: str
) -> list[pages.Typed]:
    if answer.choice == "typed_right":
        return _confirmed(seen, visit, key)
    rule, subject = _named(seen, key)
    said = seen.decisions.get(key)
    record = said.record if said else str(uuid5(visit.pk, f"decision:{key}"))
    fields = NOTHING if answer.choice == "open" else _fields(seen, answer, key)
    told = {"rule": rule, "subject": subject, **fields}
    return [pages.Typed(record, "decision", told)]


def _confirmed(seen: Evaluation, visit: Visit, key: str) -> list[pages.Typed]:
    """Write that the surprising values are right as they stand; nothing is decided."""
    asked = {one.key: one for one in seen.questions}.get(key)
    if asked is None or not asked.why.endswith(TYPED):
        raise BadInput("Nothing is asked about this value any more.", field="key")
    return [
        pages.Typed(
            str(uuid5(visit.pk, f"typed:{need['record']}:{need['field']}")),
            "typed_right",
            {
                "record": need["record"],
                "field": need["field"],
                "value": str(seen.records[need["record"]].get(need["field"])),
            },
        )
        for need in asked.needs
    ]


def _check_repeats(seen: Evaluation, answer: Answer) -> None:
    """Refuse to set several aside for a reason that was not given twice before."""
    offered = {one.key: one for one in seen.undecided}
    for key in answer.keys:
        one = offered.get(key)
        said = covers(seen, one) if one else None
        if answer.choice != "not_here" or not said or said.reason != answer.reason:
            raise BadInput(
                "Answer these one by one: that reason was not given twice for them.",
                field="key",
            )


def _named(seen: Evaluation, key: str) -> tuple[str, str]:
    for one in (*seen.proposals, *seen.set_aside):
        if one.key == key:
            return one.rule, key.removeprefix(f"{one.rule}:")
    if key in seen.decisions:
        record = seen.records[seen.decisions[key].record]
        return str(record.get("rule")), str(record.get("subject"))
    raise BadInput(
        "This is not offered any more; the facts it rested on have changed.",
        field="key",
    )


def _fields(seen: Evaluation, answer: Answer, key: str) -> dict[str, Any]:
    if answer.choice == "not_here":
        if not answer.reason:
            raise BadInput("Choose why it is not here.", field="reason")
        return NOTHING | {
            "choice": "not_here",
            "reason": answer.reason,
            "reason_text": answer.reason_text or None,
            "covers": _covers(seen, key),
        }
    offered = {one.key: one for one in seen.proposals}.get(key)
    if offered is not None and not offered.consequence:
        raise BadInput(
            "This one only asks for a fact: there is nothing to use yet.",
            field="choice",
        )
    if answer.choice == "use":
        return NOTHING | {"choice": "use"}
    _check_level("consequence", answer.consequence, levels().consequences)
    _check_level("timing", answer.timing, levels().timings)
    return NOTHING | {
        "choice": "change",
        "consequence": answer.consequence,
        "timing": answer.timing,
        "reason_text": answer.reason_text or None,
    }


def _covers(seen: Evaluation, key: str) -> list[str]:
    """Return all that stood in the proposal when it was answered."""
    every = (*seen.proposals, *seen.set_aside)
    return next((one.covers for one in every if one.key == key), [key])


def _check_level(field: str, value: str, known: Any) -> None:
    if value not in known:
        raise BadInput("Choose one of those listed.", field=field)
