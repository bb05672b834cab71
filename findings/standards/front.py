"""The one front summary: when it is compulsory, what stands on it, in which order."""

from collections.abc import Collection, Iterable
from typing import Protocol, TypeVar

from findings.standards.schema_asks import Asks, Notice

CONSEQUENCES = (
    "could_hurt",
    "harming_building",
    "did_not_work",
    "old_for_kind",
    "upkeep",
)
# What stands on the front page where a state does not say it: our own choice.
OURS = ("could_hurt", "harming_building", "did_not_work")
TIMINGS = (
    "today",
    "before_close",
    "before_move_in",
    "first_year",
    "when_replaced",
    "watch",
)


class Ranked(Protocol):
    """Anything with a consequence and a timing."""

    @property
    def consequence(self) -> str: ...
    @property
    def timing(self) -> str: ...


R = TypeVar("R", bound=Ranked)


def compulsory(pack: Asks, purpose: str, systems: Collection[str]) -> bool:
    """Say whether the state wants a summary for such a visit."""
    if pack.summary is None:
        return False
    rule = pack.summary.compulsory
    return purpose in rule.purposes and len(systems) >= rule.least_systems


def belongs(pack: Asks, finding: Ranked) -> bool:
    """Say whether a finding stands on the front page of this state."""
    summary = pack.summary
    if summary is None:
        return finding.consequence in OURS
    return finding.consequence in (*summary.holds, *summary.may_hold)


def front_order(pack: Asks, findings: Iterable[R]) -> list[R]:
    """Return the front page: by consequence, then timing, then as given."""
    return sorted((f for f in findings if belongs(pack, f)), key=_rank)


def body_order(findings: Iterable[R]) -> list[R]:
    """Return all findings in the same order, for lists that leave none out."""
    return sorted(findings, key=_rank)


def _rank(finding: Ranked) -> tuple[int, int]:
    return (
        _place(CONSEQUENCES, finding.consequence),
        _place(TIMINGS, finding.timing),
    )


def _place(order: tuple[str, ...], key: str) -> int:
    return order.index(key) if key in order else len(order)


def notice(pack: Asks, place: str = "summary") -> Notice | None:
    """Return the notice that law fixes for a place; the firm fills in its text."""
    return next((n for n in pack.notices if n.place == place), None)
