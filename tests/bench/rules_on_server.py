"""How long a visit's meaning takes on the server, and what one more entry costs."""

from __future__ import annotations

from statistics import median
from time import perf_counter

from findings.rules.loader import ruleset, timeline
from findings.rules.memo import Memo
from findings.rules.visit import review
from tests.bench.visits import house

FACTS = {"state": "NC", "built_from": 1978, "built_to": 1978}
SIZES, ROUNDS = (300, 600, 1200), 5


def main() -> None:
    """Print milliseconds and counts for several sizes."""
    rules, nc = ruleset(), timeline("NC")
    for size in SIZES:
        records = house(size)
        cold, warm, more, counts = [], [], [], []
        for turn in range(ROUNDS):
            memo = Memo()
            cold.append(_timed(records, rules, nc, memo))
            first = memo.evaluated
            warm.append(_timed(records, rules, nc, memo))
            one = {
                "kind": "hot_tap",
                "tap": "bath",
                "temp_f": f"13{turn}",
                "stop": "st-1",
            }
            more.append(_timed(records | {"o-more": one}, rules, nc, memo))
            counts.append((first, memo.evaluated - first))
        evaluated, after = counts[-1]
        print(
            f"rules on the server: {size} observations: first {median(cold):.0f} ms"
            f" ({evaluated} evaluations), again {median(warm):.0f} ms,"
            f" after one more {median(more):.0f} ms ({after} evaluations)"
        )


def _timed(records, rules, nc, memo) -> float:
    begun = perf_counter()
    review(records, {}, FACTS, rules, nc, (), memo=memo)
    return (perf_counter() - begun) * 1000


if __name__ == "__main__":
    main()
