"""Counts: tried n of m, one in every room, and the groups where every one counts."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any, Final

from findings.standards import matching
from findings.standards.schema import Count, Duty
from findings.standards.visit import Reply, Visit, as_int

# What is written down one by one, by the count that it belongs to.
ONE_BY_ONE: Final = {"receptacles_tried": "receptacle"}


def by_count(visit: Visit, duty: Duty, stops: Sequence[str]) -> Reply | None:
    """Answer a counted duty at one stop, None while too few were tried."""
    if duty.count is None or len(stops) != 1:
        return None
    stop_id = stops[0]
    tried, seen, unreachable = numbers(visit, duty.count, stop_id)
    if seen == 0:
        return Reply("not_present", f"No {duty.count.what} here.", stop=stop_id)
    if not enough(duty.count, tried, seen, unreachable):
        return None
    refs = visit.refs(duty, stops, house=False)
    return Reply(
        "reported" if refs else "looked",
        count_text(duty.count.what, tried or 0, seen, unreachable),
        tried=tried,
        total=seen,
        stop=stop_id,
        findings=refs,
    )


def numbers(visit: Visit, count: Count, stop_id: str) -> tuple[int | None, ...]:
    """Return tried, seen and not reachable at a stop; None is "not said"."""
    stop = visit.stop(stop_id)
    fields = (count.tried, count.seen, count.unreachable)
    return tuple(as_int(stop.get(name)) if name else None for name in fields)


def at_place(
    record: Mapping[str, Any], fields: Sequence[str], noted: int = 0
) -> tuple[int, int, int]:
    """Return tried, seen and not reachable of a place: the one way all pages count.

    `noted` is how many were written down one by one; where nobody counted, those
    were tried, and what was tried was seen.
    """
    said = [as_int(record.get(name)) if name else None for name in fields]
    tried = noted if said[0] is None else said[0]
    return tried, tried if said[1] is None else said[1], said[2] or 0


def of_house(folded: matching.Folded, count: Count) -> tuple[int, int]:
    """Return how many of a kind were tried and seen in the whole house."""
    fields = (count.tried, count.seen, count.unreachable)
    kind = ONE_BY_ONE.get(count.tried, "")
    noted = Counter(
        str(one.get("stop")) for one in folded.values() if one.get("kind") == kind
    )
    stops = {key: one for key, one in folded.items() if one.get("kind") == "stop"}
    every = [at_place(one, fields, noted[key]) for key, one in stops.items()]
    return sum(one[0] for one in every), sum(one[1] for one in every)


def enough(
    count: Count, tried: int | None, seen: int | None, unreachable: int | None
) -> bool:
    """Say whether enough were tried: one, every one within reach, or as judged."""
    if tried is None:
        return False
    if count.rule == "every":
        return seen is not None and tried + (unreachable or 0) >= seen
    return count.rule == "judged" or tried >= 1


def count_text(what: str, tried: int, seen: int | None, unreachable: int | None) -> str:
    """Say how many were tried, as "Tried 4 of 6 receptacles; 2 out of reach."."""
    told = _one(what) if tried == 1 else what
    text = f"Tried {tried} of {seen} {what}" if seen else f"Tried {tried} {told}"
    return f"{text}; {unreachable} out of reach." if unreachable else f"{text}."


def _one(what: str) -> str:
    return what.removesuffix("es") if what.endswith("ches") else what.removesuffix("s")


def count_hint(visit: Visit, duty: Duty, stops: Sequence[str]) -> str:
    """Say what is missing in a count."""
    if duty.count is None or len(stops) != 1:
        return duty.text
    tried, seen, unreachable = numbers(visit, duty.count, stops[0])
    what = duty.count.what
    if duty.count.rule == "every" and seen is None:
        return f"Count the {what} here: seen, tried, out of reach."
    if tried is None or duty.count.rule != "every":
        return f"Say how many {what} were tried here."
    left = (seen or 0) - tried - (unreachable or 0)
    return f"Every one counts here: {left} of {seen} {what} not tried."


def by_test(visit: Visit, duty: Duty, stops: Sequence[str]) -> Reply | None:
    """Answer a duty to test each of certain records, None while one is untested."""
    if duty.tested is None:
        return None
    found = list(matching.records(visit.folded, duty.tested))
    if not found or _untested(visit, duty):
        return None
    refs = visit.refs(duty, stops, house=True)
    n = len(found)
    return Reply(
        "reported" if refs else "looked",
        f"Tried {n} of {n} {duty.tested.what}.",
        tried=n,
        total=n,
        stop=str(found[0][1].get("stop") or ""),
        findings=refs,
    )


def _untested(visit: Visit, duty: Duty) -> list[str]:
    """Return the stops of records that still want a result."""
    tested = duty.tested
    if tested is None:
        return []
    return [
        str(record.get("stop") or "")
        for _, record in matching.records(visit.folded, tested)
        if not any(record.get(name) in tested.done for name in tested.fields)
    ]


def test_hint(visit: Visit, duty: Duty) -> str:
    """Say how many still want a test."""
    tested = duty.tested
    left = _untested(visit, duty)
    if tested is None or not left:
        return duty.text
    n = len(list(matching.records(visit.folded, tested)))
    return f"{len(left)} of {n} {tested.what} not tried: try, or say why not."
