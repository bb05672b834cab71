"""The ways a duty is answered, each a small function; the first that knows wins."""

from collections.abc import Callable, Sequence
from typing import TypeAlias, cast

from findings.standards import counting, matching
from findings.standards.loader import words_for_values
from findings.standards.schema import Duty
from findings.standards.visit import Reply, State, Visit, reach

Way: TypeAlias = Callable[[Visit, Duty, Sequence[str]], Reply | None]

GAPS = ("not_inspected", "not_present", "outside_agreement")
CONDITIONS = ("if_found", "if_absent")
# What a person may answer to each verb: a look is not a description.
ANSWERS = {
    "inspect": ("looked", "operated", "described", "reported"),
    "describe": ("described",),
    "operate": ("operated", "reported"),
    "report": ("described", "reported"),
}


def by_scope(visit: Visit, duty: Duty, _stops: Sequence[str]) -> Reply | None:
    """Answer a duty of a system that the agreement leaves out."""
    if visit.scope.covers(duty.system):
        return None
    return Reply("outside_agreement")


def by_person(visit: Visit, duty: Duty, stops: Sequence[str]) -> Reply | None:
    """Answer from what a person said of this very duty."""
    unfinished = None
    for record in visit.answers(duty, stops):
        if not record.get("answer"):
            continue
        reply = _said(visit, duty, record)
        if reply and reply.state != "open":
            return reply
        unfinished = unfinished or reply
    return unfinished


def _said(visit: Visit, duty: Duty, record: matching.Record) -> Reply | None:
    answer, text = str(record.get("answer", "")), str(record.get("text") or "").strip()
    stop = str(record.get("stop") or "")
    if visit.in_conflict(str(record["id"]), "answer"):
        return Reply("open", stop=stop, hint="Two answers stand here: say which holds.")
    if answer in GAPS:
        return _gap(answer, text, stop)
    if answer == "looked" and duty.trigger in CONDITIONS:
        return _looked_none(visit, duty, text, stop)
    refs = visit.refs(duty, [stop], house=duty.per == "house")
    if problem := _unfit(duty, answer, text, refs):
        return Reply("open", stop=stop, hint=problem)
    together = bool(record.get("together")) and duty.exception
    state = _state(answer, refs)
    said = bool(text)
    return Reply(state, text, together, stop=stop, findings=refs, said=said)


def _state(answer: str, refs: Sequence[str]) -> State:
    # A finding beside it does not take a description away, and words that stand for
    # themselves are no finding.
    if answer == "described" or (answer == "reported" and not refs):
        return "described"
    return "reported" if refs else "looked"


def _unfit(duty: Duty, answer: str, text: str, refs: Sequence[str]) -> str:
    if answer not in ANSWERS[duty.duty]:
        return _verb_hint(duty)
    if answer == "described" and not text:
        return "The description is still empty."
    if answer == "reported" and not (text or refs):
        return "No finding reports it yet."
    return ""


def _gap(answer: str, text: str, stop: str) -> Reply:
    if answer == "not_inspected" and not text:
        return Reply("open", stop=stop, hint="Say why it was not inspected.")
    return Reply(cast("State", answer), text, stop=stop, said=bool(text))


def _looked_none(visit: Visit, duty: Duty, text: str, stop: str) -> Reply | None:
    """Let "looked, none" close an if-found duty unless the records say otherwise."""
    if not text and matching.any_of(visit.folded, duty.must_report):
        return None
    return Reply("looked", text or "none seen", stop=stop, said=True)


def _verb_hint(duty: Duty) -> str:
    return {
        "describe": "A look is not enough: describe it.",
        "operate": "A look is not enough: operate it or say why not.",
    }.get(duty.duty, "Say what was found.")


def by_must_report(visit: Visit, duty: Duty, stops: Sequence[str]) -> Reply | None:
    """Hold a duty open while a record shows what nothing reports yet."""
    if visit.refs(duty, stops, house=True):
        return None
    for line in duty.must_report:
        for _, record in matching.records(visit.folded, line):
            stop = str(record.get("stop") or "")
            if duty.per == "house" or stop in stops:
                return Reply("open", stop=stop, hint=duty.must_report_hint)
    return None


def by_findings(visit: Visit, duty: Duty, stops: Sequence[str]) -> Reply | None:
    """Answer from findings; a count, a test or a description needs its own answer."""
    if duty.count or duty.tested or duty.duty == "describe":
        return None
    house = duty.per == "house"
    refs = visit.refs(duty, stops, house=house)
    stop = visit.place_of(duty) if house else ""
    return Reply("reported", stop=stop, findings=refs) if refs else None


def by_hindrance(visit: Visit, duty: Duty, _stops: Sequence[str]) -> Reply | None:
    """Turn a duty into "not inspected" where a record says what stood in the way."""
    for line in duty.unless:
        for _, record in matching.records(visit.folded, line):
            stop, reason = str(record.get("stop") or ""), record.get(line.reason)
            if not reason:
                return Reply("open", stop=stop, hint="Say why it was left closed.")
            return Reply("not_inspected", str(reason), stop=stop)
    return None


def by_records(visit: Visit, duty: Duty, stops: Sequence[str]) -> Reply | None:
    """Answer a describing duty from the records that hold the description."""
    for line in duty.answered_by:
        found = list(matching.records(visit.folded, line))
        whole = [
            (i, r)
            for i, r in found
            if matching.holds(r, line.needs)
            and not any(visit.in_conflict(i, name) for name in line.needs)
        ]
        if not whole or (line.each and len(whole) < len(found)):
            continue
        texts = dict.fromkeys(matching.sentence(line.text, r) for _, r in whole)
        refs = visit.refs(duty, stops, house=True)
        return Reply(
            _described(duty, refs),
            " ".join(texts),
            stop=str(whole[0][1].get("stop") or ""),
            findings=refs,
        )
    return None


def _described(duty: Duty, refs: Sequence[str]) -> State:
    if refs and duty.duty != "describe":
        return "reported"
    return "looked" if duty.duty in ("inspect", "operate") else "described"


def by_limit(visit: Visit, duty: Duty, stops: Sequence[str]) -> Reply | None:
    """Answer from one reason that reaches many duties."""
    for limit in visit.limits():
        touched = reach(limit)
        everywhere = bool(stops) and all(stop in touched for stop in stops)
        if duty.id in touched or f"system:{duty.system}" in touched or everywhere:
            stop = stops[0] if len(stops) == 1 else ""
            return Reply("not_inspected", limit_text(limit), stop=stop)
    return None


def limit_text(limit: matching.Record) -> str:
    """Say a limit's reason as a clause: "furniture stood in the way"."""
    reason = str(limit.get("reason", "other"))
    text = str(limit.get("text") or "").strip()
    if reason == "other" and text:
        return text
    words = words_for_values().get(reason, reason.replace("_", " "))
    return f"{words}: {text}" if text else words


def by_closing(visit: Visit, duty: Duty, stops: Sequence[str]) -> Reply | None:
    """Answer from "looked at everything here; nothing else noted".

    Closed so are inspect duties, and conditions that nobody reported and no record
    shows: that look would have met them. A rule that finds nothing closes neither.
    All stops of one of the duty's kinds have to be closed or limited, such as every
    side of the outside loop.
    """
    if not duty.exception or not _ready(visit, duty):
        return None
    limited = {stop for limit in visit.limits() for stop in reach(limit)}
    for group in _groups(visit, duty, stops):
        settled = all(visit.closed(stop) or stop in limited for stop in group)
        found = _closed(visit, duty, group, limited) if settled else None
        if found is not None:
            return found
    return None


def _groups(visit: Visit, duty: Duty, stops: Sequence[str]) -> list[list[str]]:
    """Arrange stops by kind, as the duty lists them; by record where one is needed."""
    if duty.per == "stop":
        return [list(stops)]
    held = {
        str(record.get("stop"))
        for line in duty.requires
        for _, record in matching.records(visit.folded, line)
    }
    if here := [stop for stop in stops if stop in held]:
        return [here]
    kinds = ([s for s in stops if visit.kind(s) == kind] for kind in duty.stops)
    return [group for group in kinds if group]


def _closed(
    visit: Visit, duty: Duty, group: Sequence[str], limited: set[str]
) -> Reply | None:
    undone = None
    place = group[0] if len(group) == 1 and not duty.anywhere else ""
    for stop_id in group:
        stop = visit.stop(stop_id)
        struck = duty.id in (stop.get("closed_struck") or [])
        if struck or stop_id in limited:
            continue
        if stop.get("method") == "not_done":
            undone = undone or _not_done(stop, stop_id)
            continue
        return Reply("looked", together=True, stop=place)
    return undone


def _ready(visit: Visit, duty: Duty) -> bool:
    if duty.present and not matching.any_of(visit.folded, duty.present):
        return False
    return not duty.requires or matching.any_of(visit.folded, duty.requires)


def _not_done(stop: matching.Record, stop_id: str) -> Reply:
    reason = str(stop.get("method_reason") or "")
    if not reason:
        return Reply("open", stop=stop_id, hint="Say why this was not looked at.")
    return Reply("not_inspected", reason, stop=stop_id)


def by_absence(visit: Visit, duty: Duty, stops: Sequence[str]) -> Reply | None:
    """Answer a duty about something that this house does not have."""
    if duty.trigger != "if_present" and not duty.condition:
        return None
    if not stops:
        return Reply("not_present", "No such place was on this visit's route.")
    if not duty.present or matching.any_of(visit.folded, duty.present):
        return None
    if all(visit.closed(stop) for stop in stops):
        return Reply("not_present", "None was found.")
    shut = [stop for stop in stops if not visit.closed(stop)]
    return _none_elsewhere(visit, shut) if len(shut) < len(stops) else None


def _none_elsewhere(visit: Visit, shut: Sequence[str]) -> Reply | None:
    """Say what a place that could not be looked at leaves in doubt."""
    by_stop = {stop: one for one in visit.limits() for stop in reach(one)}
    if not all(stop in by_stop for stop in shut):
        return None
    why = "; ".join(dict.fromkeys(limit_text(by_stop[stop]) for stop in shut))
    return Reply("not_inspected", f"None was found in the places looked at; {why}")


WAYS: tuple[Way, ...] = (
    by_scope,
    by_person,
    by_must_report,
    by_findings,
    by_hindrance,
    by_records,
    counting.by_count,
    counting.by_test,
    by_limit,
    by_closing,
    by_absence,
)


def reply(visit: Visit, duty: Duty, stops: Sequence[str]) -> Reply:
    """Return how a duty stands; open, with where and how to answer, if nothing does."""
    for way in WAYS:
        found = way(visit, duty, stops)
        if found is not None:
            return found
    return Reply("open", hint=_open_hint(visit, duty, stops))


def _open_hint(visit: Visit, duty: Duty, stops: Sequence[str]) -> str:
    if duty.count:
        return counting.count_hint(visit, duty, stops)
    if duty.tested:
        return counting.test_hint(visit, duty)
    if matching.any_of(visit.folded, duty.requires):
        return duty.text
    return duty.requires_hint or duty.text
