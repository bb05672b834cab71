"""Recorded facts that cannot both be so: named with their values, settled by nobody.

What two facts dispute reads as unknown until one of them is put right, so that no
rule concludes anything from either. Of the inputs of one rule its file says the same.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from findings.rules.bindings import Conflicts, Fact, View, field_words

Facts = Mapping[str, Any]
Field = tuple[str, str]
HOUSE_V = 150  # more than one leg of a house gives
NOTHING = ("no", "looked_none")
# A heater in a garage may be electric and is none of them.
BURNING = ("burner_room", "gas_line", "gas_vent", "wall_vent")
KIND_WORDS = {"burner_room": "room with gas appliances"}
GAS_EQUIPMENT = ("furnace_gas", "furnace_oil", "boiler_gas", "range_gas")
MAIN_DEVICES = ("breaker", "fuses", "pull_out")
NAME = "facts.contradict"
TITLE = "Two facts do not fit together"


@dataclass(frozen=True)
class Contradiction:
    """The two facts, the line that names them, and what reads as unknown meanwhile."""

    say: str
    between: tuple[Fact, Fact]
    unsure: tuple[Field, ...]
    house_date: bool = False

    @property
    def record(self) -> str:
        """The record it is shown with."""
        return self.between[0].record


Found = Iterator[Contradiction]


def found(view: View, facts: Facts) -> list[Contradiction]:
    """Give every pair of a visit, in one fixed order."""
    return [one for look in LOOKS for one in look(view, facts)]


def unsettled(conflicts: Conflicts, apart: Iterable[Contradiction]) -> Conflicts:
    """Give the fields that read as unknown: two values, or a fact in dispute."""
    disputed = {pair: list[Any]() for one in apart for pair in one.unsure}
    return {**disputed, **conflicts}


def dated(facts: Facts, apart: Iterable[Contradiction]) -> Facts:
    """Give the property's facts, without a date that another fact disputes."""
    if not any(one.house_date for one in apart):
        return facts
    gone = ("built_from", "built_to", "permit_date")
    return {name: value for name, value in facts.items() if name not in gone}


def _pair(
    view: View, say: str, one: Field, other: Field, unsure: Iterable[Field] = ()
) -> Contradiction:
    facts = [
        Fact(record, name, view.get(record, name), view.how(record, name),
             field_words(name))
        for record, name in (one, other)
    ]  # fmt: skip
    return Contradiction(
        f"{say}: which of the two holds?",
        (facts[0], facts[1]),
        tuple(unsure) or (one, other),
    )


def _built(view: View, facts: Facts) -> tuple[Any, Any]:
    visit = view.only("visit")
    first = facts.get("built_from") or view.get(visit, "built_year")
    last = facts.get("built_to") or view.get(visit, "built_year_to")
    return first or last, last or first


def _house(view: View, facts: Facts) -> Found:
    first, last = _built(view, facts)
    visit = view.only("visit") or "visit"
    if first and last and first > last:
        yield Contradiction(
            f"the house is dated from {first} to {last}, backwards: which year holds?",
            (
                Fact(visit, "built_year", first, "told", "built, first year"),
                Fact(visit, "built_year_to", last, "told", "built, last year"),
            ),
            ((visit, "built_year"), (visit, "built_year_to")),
            house_date=True,
        )


def _age_notes(view: View, facts: Facts) -> Found:
    built, _ = _built(view, facts)
    visit = view.only("visit") or "visit"
    for note in view.all("age_note"):
        first, last = view.get(note, "year_from"), view.get(note, "year_to")
        reach = str(view.get(note, "reach") or "")
        both = ((note, "year_from"), (note, "year_to"))
        if first and last and first > last:
            say = f"a note on age runs from {first} to {last}, backwards"
            yield _pair(view, say, *both)
        elif built and (last or first) and reach != "house" and (last or first) < built:
            yield Contradiction(
                f"work of {last or first} at the latest, in a house built in {built}"
                " at the earliest: which of the two holds?",
                (
                    Fact(note, "year_to" if last else "year_from", last or first,
                         view.how(note, "year_to"), "age note, last year"),
                    Fact(visit, "built_year", built, "told", "built, first year"),
                ),
                (*both, (visit, "built_year"), (visit, "built_year_to")),
                house_date=True,
            )  # fmt: skip


def _alarms(view: View, _: Facts) -> Found:
    for look in view.all("alarm_look"):
        kind, stop = view.get(look, "alarm_kind"), view.get(look, "stop")
        for alarm in view.all("alarm"):
            kinds = {kind, view.get(alarm, "alarm_kind")}
            here = stop is None or view.get(alarm, "stop") == stop
            if here and (len(kinds) == 1 or "both" in kinds) and None not in kinds:
                words = str(kind).replace("_", " ").replace("both", "alarm of any kind")
                say = (
                    f"looked for ({words}) and found none, and yet an alarm is recorded"
                )
                at = view.place(alarm)
                yield _pair(view, f"{say} ({at})" if at else say, (look, "answer"),
                            (alarm, "alarm_kind"), [(look, "answer")])  # fmt: skip


def _observations(view: View, _facts: Facts) -> Found:
    asked: dict[tuple[str, str], list[str]] = {}
    for one in view.all("observation"):
        if what := view.get(one, "what"):
            asked.setdefault((str(view.get(one, "stop")), str(what)), []).append(one)
    for (_, what), records in asked.items():
        yield from _answers(view, what, records)


def _answers(view: View, what: str, records: list[str]) -> Found:
    for one, other in combinations(records, 2):
        answers = [view.get(record, "answer") for record in (one, other)]
        if "yes" in answers and set(answers) & {*NOTHING}:
            words = " and ".join(str(answer).replace("_", " ") for answer in answers)
            say = f"{what.replace('_', ' ')} is answered twice, {words}"
            yield _pair(view, say, (one, "answer"), (other, "answer"))


def _burning(view: View) -> Iterator[tuple[Field, str]]:
    for kind in BURNING:
        for record in view.all(kind):
            if view.get(record, "appliance") != "grill":
                words = KIND_WORDS.get(kind, kind.replace("_", " "))
                name = "appliance" if kind == "gas_line" else "place"
                yield (record, name), words
    for record in view.all("equipment"):
        if view.get(record, "equipment_kind") in GAS_EQUIPMENT:
            words = str(view.get(record, "equipment_kind")).replace("_", " ")
            yield (record, "equipment_kind"), words


def _fuel(view: View, _: Facts) -> Found:
    burning = next(_burning(view), None)
    for one in view.all("observation") if burning else ():
        told = view.get(one, "what") == "fuel_appliance"
        if burning and told and view.get(one, "answer") in NOTHING:
            field, words = burning
            say = f"no fuel-burning appliance was found, and yet a {words} is recorded"
            yield _pair(view, say, (one, "answer"), field, [(one, "answer")])


def _role(view: View, _: Facts) -> Found:
    for one in view.all("enclosure"):
        if view.get(one, "role") != "service_disconnect":
            continue
        name, ahead = _ahead(view, one)
        # Where both are called the first shut-off, the tree of panels says so.
        if ahead not in (None, one) and view.get(ahead, "role") != "service_disconnect":
            say = (
                f"{view.place(one)} is called the main shut-off, and yet a breaker in"
                f" {view.place(str(ahead))} feeds it"
            )
            unsure = [(one, field) for field in ("role", "fed_by_space", "fed_from")]
            yield _pair(view, say, (one, "role"), (one, name), unsure)


def _ahead(view: View, one: str) -> tuple[str, str | None]:
    """Give the enclosure ahead that can shut this one off, and which field says so."""
    by_space = view.get(view.get(one, "fed_by_space"), "enclosure")
    if by_space is not None:
        return "fed_by_space", str(by_space)
    ahead = view.get(one, "fed_from")
    own_main = view.get(ahead, "main_amps") is not None
    able = own_main or view.get(ahead, "main_kind") in MAIN_DEVICES
    return "fed_from", str(ahead) if ahead and able else None


def _feeder(view: View, _: Facts) -> Found:
    """Of one run of wire, what is said at its breaker and where it arrives."""
    for one in view.all("enclosure"):
        space = view.get(one, "fed_by_space")
        for here, there in (
            ("conductor_size", "size"),
            ("conductor_material", "material"),
        ):
            fields = ((space, there), (one, here))
            values = [view.get(*field) for field in fields]
            hows = {view.how(*field) for field in fields} if space else set()
            if space is None or None in values or hows & {"not_seen", "estimated"}:
                continue
            if (
                values[0] != values[1]
                and (view.get(one, "conductor_parallel") or 1) == 1
            ):
                leaving, arriving = map(_words, values)
                say = (
                    f"the feeder of {view.place(one)} is recorded as {leaving} at its"
                    f" breaker and as {arriving} where it arrives"
                )
                yield _pair(view, say, *fields)


def _words(value: object) -> str:
    return str(value).replace("_", " ").replace("aluminium", "aluminum")


def _volts(view: View, _: Facts) -> Found:
    for space in view.all("space"):
        poles, volts = view.get(space, "poles"), view.get(space, "plate_volts") or 0
        if poles == 1 and volts > HOUSE_V:
            say = f"{volts} V on the plate, and a breaker of one pole, which gives 120"
            yield _pair(view, say, (space, "plate_volts"), (space, "poles"))
        panel = view.get(space, "enclosure")
        if poles and poles > 1 and view.get(panel, "volts") == "120":
            say = f"a breaker with {poles} poles in a panel of 120 V"
            yield _pair(view, say, (space, "poles"), (panel, "volts"))


def _expansion(view: View, _: Facts) -> Found:
    """Of one house's hot water, by the heater and by the gauge."""
    for heater in view.all("water_heater"):
        for reading in view.all("water_reading"):
            said = [view.get(one, "expansion") for one in (heater, reading)]
            if {*said} == {"present", "looked_none"}:
                found, none = ("heater", "gauge")
                if said[0] == "looked_none":
                    found, none = none, found
                say = (
                    f"a device for expansion is recorded with the {found}, and none"
                    f" was found by the entry of the {none}"
                )
                yield _pair(view, say, (heater, "expansion"), (reading, "expansion"))


COUNTS = (
    ("receptacles_correct", "receptacles_tried", "correct", "tried"),
    ("receptacles_tried", "receptacles_seen", "tried", "seen"),
)


def _counts(view: View, _: Facts) -> Found:
    for stop in view.all("stop"):
        for less, more, part, whole in COUNTS:
            few, many = view.get(stop, less), view.get(stop, more)
            if few is not None and many is not None and few > many:
                say = f"{few} receptacles {part} and only {many} {whole}"
                yield _pair(view, say, (stop, less), (stop, more))


LOOKS: tuple[Callable[[View, Facts], Found], ...] = (
    _house, _age_notes, _alarms, _observations, _fuel, _role, _feeder, _volts,
    _expansion, _counts,
)  # fmt: skip
