"""Puts proposals in order, joins those of one topic, and applies decisions."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from findings.rules import era
from findings.rules.bindings import View
from findings.rules.proposal import Proposal

AGE_NOTES = {
    era.REQUIRED: "Not there; usual in houses of this age.",
    era.NOT_REQUIRED: "This became usual after the house was built.",
    era.CANNOT_TELL: (
        "Older rules, newer habits: whether this was asked for when the house was"
        " built cannot be told from what is known."
    ),
}
WORST_FIRST = (
    "defect_now", "needs_specialist_urgent", "needs_specialist", "deficient_by_duty",
    "defect_at_construction", "depends_on_adoption", "met_then_safer_now",
    "mitigate", "needs_openings", "retest", "maintenance", "consider", "monitor",
    "informational", "undetermined",
)  # fmt: skip
REACH = "reach"  # a height above the floor, which belongs to its own place
CALENDAR = frozenset(WORST_FIRST[4:7])


def rank(proposal: Proposal) -> int:
    """Hazard 0, pack 1, plain 2, calendar 3, quiet 4, asking 5."""
    if proposal.outcome == "undetermined":
        return 5
    if proposal.hazard:
        return 0
    if proposal.outcome == "deficient_by_duty":
        return 1
    if proposal.outcome in CALENDAR:
        return 3
    return 4 if proposal.outcome == "informational" else 2


def _order(proposal: Proposal) -> tuple[Any, ...]:
    today = proposal.timing != "today"
    worst = WORST_FIRST.index(proposal.outcome)
    return rank(proposal), today, worst, proposal.rule, proposal.stop, proposal.key


def merged(found: Iterable[Proposal]) -> list[Proposal]:
    """One proposal for each topic, trade and passage, in the order of the page."""
    groups: dict[tuple[Any, ...], list[Proposal]] = {}
    for one in sorted(found, key=_order):
        if one.outcome == "undetermined":
            groups[(one.key,)] = [*groups.get((one.key,), []), one]
            continue
        same = (one.topic, one.trade, one.passage, rank(one), one.consequence)
        groups.setdefault(same, []).append(one)
    return sorted((_join(group) for group in groups.values()), key=_order)


def _join(group: list[Proposal]) -> Proposal:
    first = group[0]
    if len(group) == 1:
        return first
    places = list(dict.fromkeys(place for one in group for place in one.places))
    facts = {(f["record"], f["field"]): f for one in group for f in one.facts}
    return replace(
        first,
        subjects=list(dict.fromkeys(s for one in group for s in one.subjects)),
        parts=list(dict.fromkeys(one.key for one in group)),
        places=places,
        facts=list(facts.values()),
        blanks={**_blanks(group), "place": together(_places(group))},
        age_note=_by_place(group, lambda one: one.age_note, " "),
        margin="; ".join(dict.fromkeys(one.margin for one in group if one.margin)),
        ruling=" ".join(dict.fromkeys(one.ruling for one in group if one.ruling)),
        edition=_edition(group),
        trace=[line for one in group for line in one.trace],
        needs=[need for one in group for need in one.needs],
        # One part known from outside memory is enough to show the whole.
        firm_only=all(one.firm_only for one in group),
    )


def _blanks(group: list[Proposal]) -> dict[str, str]:
    """Give the values of all, each said once; a blank some lack is left open.

    Figures that differ stand in the order of their places, one for each of them.
    """
    names = set.intersection(*(set(one.blanks) for one in group)) - {"place", REACH}
    in_order = len({place for one in group for place in one.places}) == len(group)
    found = {}
    for name in sorted(names):
        values = [one.blanks[name] for one in group]
        figures = in_order and all(value[:1].isdigit() for value in values)
        once = list(dict.fromkeys(values))
        found[name] = _listed(values if figures and len(once) > 1 else once)
    reaches = {one.blanks.get(REACH) for one in group}
    only = reaches.pop()
    return found | ({REACH: only} if only and not reaches else {})


def _places(group: list[Proposal]) -> list[str]:
    """Give the places; where heights differ each stands with its own."""
    reaches = {one.blanks.get(REACH) for one in group}
    if len(reaches) == 1:
        return list(dict.fromkeys(place for one in group for place in one.places))
    return [
        f"{place} ({one.blanks[REACH]})" if one.blanks.get(REACH) else place
        for one in group
        for place in one.places
    ]


def _listed(words: list[str]) -> str:
    *most, last = words or [""]
    return f"{', '.join(most)} and {last}" if most else last


def together(places: list[str]) -> str:
    """List places; a room that all of them share is said once."""
    if not places:
        return ""
    parts = [place.split(", ") for place in places]
    shared = 0
    while all(len(one) > shared + 1 for one in parts) and (
        len({one[shared] for one in parts}) == 1
    ):
        shared += 1
    head = ", ".join([*parts[0][:shared], ""])
    spots = [", ".join(one[shared:]) for one in parts]
    if not any(", " in spot for spot in spots):
        return head + _listed(spots)
    # Commas within a place would run into those between two.
    return head + "; and ".join(["; ".join(spots[:-1]), spots[-1]])


def _edition(group: list[Proposal]) -> dict[str, Any]:
    dated = [one.edition for one in group if one.edition]
    if not dated:
        return {}
    joined = dict(dated[0])
    joined["text"] = _by_place(
        group, lambda one: str(one.edition.get("text", "")), "; "
    )
    said = dict.fromkeys(str(d.get("decided_by", "")) for d in dated)
    joined["decided_by"] = "; ".join(said)
    return joined


def _by_place(
    group: list[Proposal], say: Callable[[Proposal], str], between: str
) -> str:
    """Say what holds for all once; where it differs, say which places it holds for."""
    told: dict[str, list[str]] = {}
    for one in group:
        if text := say(one):
            told.setdefault(text, []).extend(one.places)
    if len(told) < 2:  # noqa: PLR2004 (nothing differs)
        return between.join(told)
    return between.join(
        f"{together(list(dict.fromkeys(places)))}: {text}"
        for text, places in told.items()
    )


def decided(
    view: View, found: Iterable[Proposal]
) -> tuple[list[Proposal], list[Proposal]]:
    """Join what is offered and, apart from it, what each answer "not here" covers.

    Only what stood in a proposal when it was set aside is covered: a place that comes
    later is offered anew, so that nothing is decided silently.
    """
    decisions = _decisions(view)
    aside_by = _covered(decisions)
    open_ones: list[Proposal] = []
    taps: dict[str, list[Proposal]] = {}
    for one in found:
        said = aside_by.get(one.key)
        if said is None:
            open_ones.append(one)
        else:
            taps.setdefault(said["record"], []).append(replace(one, decision=said))
    offered = [
        replace(one, decision=decisions.get((one.rule, one.subject), {}))
        for one in merged(open_ones)
    ]
    aside = [one for group in taps.values() for one in merged(group)]
    return offered, sorted(aside, key=_order)


def _covered(
    decisions: dict[tuple[str, str], dict[str, Any]],
) -> dict[str, dict[str, Any]]:
    """Give by key of a part the answer that set it aside."""
    return {
        key: said
        for own, said in decisions.items()
        if said.get("choice") == "not_here"
        for key in (":".join(own), *said.get("covers", ()))
    }


def _decisions(view: View) -> dict[tuple[str, str], dict[str, Any]]:
    found = {}
    fields = ("choice", "reason", "reason_text", "consequence", "timing", "covers")
    for record in view.all("decision"):
        key = (str(view.get(record, "rule")), str(view.get(record, "subject")))
        values = {name: view.get(record, name) for name in fields}
        found[key] = {"record": record} | {
            name: value for name, value in values.items() if value is not None
        }
    return found
