"""What a state wants said in certain cases, in sentences of our own."""

from collections.abc import Iterable, Mapping
from typing import Any

from findings.standards import matching
from findings.standards.schema_asks import Asks, Statement


def due(
    asks: Asks, folded: matching.Folded, findings: Iterable[Mapping[str, Any]]
) -> list[Statement]:
    """Return the statements that a visit has to carry, in the pack's order.

    A finding names `rule` and `passage`.
    """
    told = [
        str(finding.get(name) or "")
        for finding in findings
        for name in ("rule", "passage")
    ]
    return [one for one in asks.statements if _arises(one, folded, told)]


def _arises(one: Statement, folded: matching.Folded, told: list[str]) -> bool:
    if one.unless and matching.any_of(folded, one.unless):
        return False
    if one.always or matching.any_of(folded, one.arises):
        return True
    return any(key.startswith(prefix) for prefix in one.findings for key in told if key)
