"""What the inspector answers to a proposal: use, change, not here, or open again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import uuid5

from findings.selectors.evaluation import Evaluation, evaluate
from findings.wording.sentences import levels
from firm.actor import Actor
from firm.errors import BadInput
from inspections.models import Visit
from inspections.services import pages

NOTHING: dict[str, Any] = dict.fromkeys(
    ("choice", "reason", "reason_text", "consequence", "timing")
)


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer; `shown` is the log's version that was on the page."""

    key: str
    choice: str
    reason: str = ""
    reason_text: str = ""
    consequence: str = ""
    timing: str = ""
    shown: int | None = None


def decide(*, actor: Actor, visit: Visit, answer: Answer, now: datetime) -> None:
    """Write the answer as a record. Raises BadInput naming the field, NotAllowed."""
    seen = evaluate(actor, visit)
    rule, subject = _named(seen, answer.key)
    said = seen.decisions.get(answer.key)
    record = said.record if said else str(uuid5(visit.pk, f"decision:{answer.key}"))
    fields = NOTHING if answer.choice == "open" else _fields(seen, answer)
    pages.write(
        actor=actor,
        visit=visit,
        shown=visit.version if answer.shown is None else answer.shown,
        typed=[
            pages.Typed(
                record, "decision", {"rule": rule, "subject": subject, **fields}
            )
        ],
        now=now,
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


def _fields(seen: Evaluation, answer: Answer) -> dict[str, Any]:
    if answer.choice == "not_here":
        if not answer.reason:
            raise BadInput("Choose why it is not here.", field="reason")
        return NOTHING | {
            "choice": "not_here",
            "reason": answer.reason,
            "reason_text": answer.reason_text or None,
        }
    offered = {one.key: one for one in seen.proposals}.get(answer.key)
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


def _check_level(field: str, value: str, known: Any) -> None:
    if value not in known:
        raise BadInput("Choose one of those listed.", field=field)
