"""How long a visit's meaning takes on the server, and what one more entry costs."""

from __future__ import annotations

from statistics import median
from time import perf_counter
from typing import Any

from findings.rules.kept import Kept
from findings.rules.loader import Ruleset, Timeline, ruleset, timeline
from findings.rules.visit import review
from tests.bench.visits import house

FACTS = {"state": "NC", "built_from": 1978, "built_to": 1978}
SIZES, ROUNDS, SEED = (100, 600, 2400), 5, 20261125


def main() -> None:
    """Print milliseconds and counts for several sizes, no two observations alike."""
    rules, nc = ruleset(), timeline("NC")
    print(f"rules on the server, seed {SEED}")
    for size in SIZES:
        records = house(size, SEED)
        cold, warm, more, first, after = [], [], [], 0, 0
        for turn in range(ROUNDS):
            kept = Kept()
            cold.append(_timed(records, rules, nc, kept))
            first = kept.worked
            warm.append(_timed(records, rules, nc, kept))
            one = {
                "kind": "hot_tap",
                "tap": "bath",
                "temp_f": f"13{turn}",
                "stop": "st-1",
            }
            more.append(_timed(records | {"o-more": one}, rules, nc, kept))
            after = kept.worked
        alike = len(records) - len(
            {str(sorted(one.items())) for one in records.values()}
        )
        print(
            f"  {size} observations ({alike} alike): first {median(cold):.0f} ms"
            f" ({first} parts), again {median(warm):.1f} ms, after one more"
            f" {median(more):.1f} ms ({after} part)"
        )


def _timed(
    records: dict[str, Any], rules: Ruleset, nc: Timeline | None, kept: Kept
) -> float:
    begun = perf_counter()
    review(records, {}, FACTS, rules, nc, (), kept=kept)
    return (perf_counter() - begun) * 1000


if __name__ == "__main__":
    main()
