"""Repeats folded into one quiet line: what was set aside twice for the same reason."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final

from findings.rules.proposal import Proposal
from findings.selectors.evaluation import Decision, Evaluation
from findings.selectors.field import offers
from findings.selectors.field.ground import Ground
from findings.selectors.field.rows import RepeatRow
from findings.selectors.review_facts import REASONS

TWICE: Final = 2


@dataclass(frozen=True, slots=True)
class Said:
    """The reason that a rule was set aside for more than once, in the same words."""

    reason: str
    text: str  # the inspector's own words, where they were the same each time


def quieted(seen: Evaluation) -> dict[str, Said]:
    """Return by rule what was answered "not here" twice for one reason."""
    by_reason: dict[tuple[str, str], list[Decision]] = defaultdict(list)
    for one in seen.decisions.values():
        if one.choice == "not_here" and one.reason:
            rule = str(seen.records[one.record].get("rule"))
            by_reason[(rule, one.reason)].append(one)
    return {
        rule: Said(reason, _same(found))
        for (rule, reason), found in by_reason.items()
        if len(found) >= TWICE
    }


def covers(seen: Evaluation, one: Proposal) -> Said | None:
    """Return the reason that quiets a proposal; a hazard is never quiet."""
    if one.hazard or not one.consequence:
        return None
    return quieted(seen).get(one.rule)


def loud(base: Ground, waiting: Iterable[Proposal]) -> list[Proposal]:
    """Return what still speaks for itself."""
    return [one for one in waiting if covers(base.seen, one) is None]


def rows(
    base: Ground, waiting: Iterable[Proposal], origin: str
) -> tuple[RepeatRow, ...]:
    """Return one line for each rule that is quiet, with all that it folds."""
    folded: dict[str, list[Proposal]] = defaultdict(list)
    said: dict[str, Said] = {}
    for one in waiting:
        if (reason := covers(base.seen, one)) is not None:
            folded[one.rule].append(one)
            said[one.rule] = reason
    every: Callable[..., bool] = bool
    return tuple(
        RepeatRow(
            count=len(held),
            title=held[0].title,
            because=REASONS[said[rule].reason],
            reason=said[rule].reason,
            reason_text=said[rule].text,
            decide_url=f"{base.url('proposal-decide')}?from={origin}",
            proposals=offers.rows(base, held, origin, every),
        )
        for rule, held in folded.items()
    )


def _same(found: list[Decision]) -> str:
    texts = {one.reason_text for one in found}
    return texts.pop() if len(texts) == 1 else ""
