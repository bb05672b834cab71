"""Visits in which rules have much to say, from a seed, and what is entered next."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Any
from uuid import UUID

from findings.rules.era import Line
from findings.rules.loader import ruleset
from findings.rules.proposal import Proposal
from findings.rules.timelines import Local, Timeline
from inspections.log.forms import Form
from tests.support.random_visits import KNOWN

Records = dict[str, dict[str, Any]]
Conflicts = dict[tuple[str, str], list[Any]]
ELECTRICAL = {
    "enclosure": 5, "space": 14, "receptacle": 14, "wall": 4, "box": 3,
    "branch_wiring": 3, "observation": 6, "alarm": 3, "alarm_look": 2, "measure": 5,
    "age_note": 2, "limit": 1, "equipment": 1, "burner_room": 1, "gas_line": 1,
    "water_reading": 1, "typed_right": 1,
}  # fmt: skip
KINDS = ELECTRICAL | {
    rule.binds.record: 3
    for rule in ruleset().rules.values()
    if rule.binds and rule.binds.record not in ELECTRICAL
}
PLACES = ("by the door", "left of the sink", "detached garage", "Kitchen, north",
          "shed", "beside the basin", "", "über Kopf", "the owner's desk")  # fmt: skip
WORDS = {
    "what": ("fuel_appliance", "attached_garage", "drip_loop", "mast_tilted",
             "surge_protection", "cooling_shut_off", "leg_a_V", "leg_b_V",
             "leg_to_leg_V", "drop_above_walk_ft", "drop_above_roof_ft",
             "drop_to_opening_ft", "roof_slope_in_per_12"),
    "place": PLACES, "location": PLACES, "name": PLACES,
    "label": ("bedrooms", "living room", "A/C", "range", "den"),
    "field": ("temp_f", "amps", "height_in"), "value": ("151", "20", "36"),
    "reason": ("different",),
}  # fmt: skip
DECIMALS = ("0", "3.75", "4", "7.5", "8.25", "10", "16", "24", "34.5", "36", "48", "60",
            "72.5", "80", "110", "119", "120", "122.5", "140", "151")  # fmt: skip
WHOLE = (0, 1, 1, 2, 2, 3, 4, 6, 14, 15, 15, 20, 20, 25, 30, 40, 60, 100, 125, 150, 200,
         240, 1978, 1994, 2004, 2016)  # fmt: skip


def visit(chance: Random) -> Records:
    """Give a house of a few rooms and up to ninety records."""
    rooms = [_id(chance) for _ in range(chance.randint(2, 8))]
    records: Records = {
        _id(chance): {
            "kind": "visit",
            "arrived_at": "2026-11-24T14:00:00Z",
            **_some(chance, built_year=chance.choice((1955, 1978, 2004, 2019))),
            **_some(chance, built_year_to=chance.choice((1979, 1990, 2019))),
            **_some(chance, temp_out_f=64),
            **_some(chance, county=chance.choice(("Fulton", "ORANGE"))),
        }
    }
    records |= {room: _record(chance, "stop", records) for room in rooms}
    for room in rooms:
        records[room] |= {"stop_kind": chance.choice(("room", "room", "garage"))}
        if chance.random() < 0.8:
            records[room]["closed_at"] = "2026-11-24T15:00:00Z"
    if chance.random() < 0.3:
        records |= _counted(chance, rooms, records)
    kinds, weights = list(KINDS), list(KINDS.values())
    for kind in sorted(chance.choices(kinds, weights, k=chance.randint(5, 90))):
        records[_id(chance)] = _record(chance, kind, records)
    return records


def _counted(chance: Random, rooms: list[str], records: Records) -> Records:
    """Leave every room and take every reading, so that what is missing counts."""
    use = ("bedroom", "bedroom", "hall", "kitchen")
    found = {
        room: records[room]
        | {"stop_kind": "room", "room_use": chance.choice(use),
           "closed_at": "2026-11-24T15:00:00Z"}
        for room in rooms
    }  # fmt: skip
    if chance.random() < 0.5:
        shut = chance.choice(rooms)
        del found[shut]["closed_at"]
        found[_id(chance)] = {"kind": "limit", "reach": [shut], "reason": "locked"}
    for what in WORDS["what"]:
        measure = {"kind": "measure", "what": what, "value": chance.choice(DECIMALS)}
        looked = {"kind": "observation", "what": what, "stop": chance.choice(rooms),
                  "answer": chance.choice(("yes", "yes", "no"))}  # fmt: skip
        found[_id(chance)] = measure if what[-1] in "tV2" else looked
    return found


def timeline(chance: Random, topics: list[str]) -> Timeline:
    """Give a state with lines of its own, of a county and of a town."""
    lines = [
        Line(year, f"{year + chance.randint(0, 4)}-07-01", "a list")
        for year in sorted(chance.sample(range(1962, 2024, 3), 6))
    ]
    local = tuple(
        Local(place, replace(chance.choice(lines), place=place), code, topic)
        for place in ("Orange County", "Seattle", "St. Clair")
        for code in ("nec", "irc")
        for topic in chance.sample(["", "", *topics], 6)
    )
    return Timeline(
        place="ZZ",
        lines=tuple(lines[:4]),
        known_until=chance.choice(("", "1999-12-31")),
        amendments={chance.choice(topics): "read the state's own"},
        families={"irc": tuple(lines[2:])} if chance.random() < 0.7 else {},
        local=local if chance.random() < 0.8 else (),
    )


def conflicts(chance: Random, records: Records) -> Conflicts:
    """Put two values into a few fields."""
    found: Conflicts = {}
    for _ in range(chance.choice((0, 0, 1, 3))):
        rec = chance.choice(sorted(records))
        form = KNOWN.kinds[records[rec]["kind"]]
        name = chance.choice(sorted(form))
        values = [_value(chance, name, form[name], records) for _ in range(2)]
        if values[0] != values[1]:
            found[rec, name] = values
    return found


def edited(chance: Random, records: Records, said: list[Proposal]) -> Records:
    """Give what changes next; None stands for a record that is gone."""
    draw = chance.random()
    if draw < 0.35 and said:
        odd = [one for one in said if "is it typed right?" in one.why]
        about = odd if odd and chance.random() < 0.4 else said
        return {_id(chance): _decision(chance, chance.choice(about))}
    if draw < 0.45:
        return {chance.choice(sorted(records)): None}  # type: ignore[dict-item]
    if draw < 0.6:
        kind = chance.choice(list(KINDS))
        return {_id(chance): _record(chance, kind, records)}
    rec = chance.choice(sorted(records))
    kind = records[rec]["kind"]
    name = chance.choice(sorted(KNOWN.kinds[kind]))
    value = _value(chance, name, KNOWN.kinds[kind][name], records)
    now = {**records[rec], name: value}
    return {rec: {key: one for key, one in now.items() if one is not None}}


def _decision(chance: Random, one: Proposal) -> dict[str, Any]:
    if "is it typed right?" in one.why and chance.random() < 0.8:
        odd = (one.needs[0]["record"], one.needs[0]["field"])
        (fact,) = (f for f in one.facts if (f["record"], f["field"]) == odd)
        return {"kind": "typed_right", "record": fact["record"],
                "field": fact["field"], "value": str(fact["value"])}  # fmt: skip
    choice = chance.choice(("not_here", "not_here", "use", "change"))
    made = {"kind": "decision", "rule": one.rule, "subject": one.subject,
            "choice": choice, "reason": "already_covered"}  # fmt: skip
    return made | ({"covers": one.covers} if chance.random() < 0.6 else {})


def _some(chance: Random, **fields: Any) -> dict[str, Any]:
    return fields if chance.random() < 0.5 else {}


def _id(chance: Random) -> str:
    return str(UUID(int=chance.getrandbits(128), version=4))


def _record(chance: Random, kind: str, records: Records) -> dict[str, Any]:
    made: dict[str, Any] = {"kind": kind}
    for name, form in KNOWN.kinds[kind].items():
        if chance.random() < 0.75 and name != "closed_at":
            value = _value(chance, name, form, records)
            if value is not None:
                made[name] = value
    if kind == "enclosure" and chance.random() < 0.8:
        made["map_done"] = True
    if made.get("how_known") == "estimated" and chance.random() < 0.8:
        del made["how_known"]
    return made


def _value(chance: Random, name: str, form: Form, records: Records) -> Any:
    args = form.args
    drawn = {
        "choice": lambda: chance.choice(args),
        "choices": lambda: chance.sample(args, chance.randint(0, len(args))),
        "flag": lambda: chance.random() < 0.5,
        "int": lambda: _within(chance, int(args[0]), int(args[1])),
        "decimal": lambda: chance.choice(DECIMALS),
        "text": lambda: chance.choice(PLACES),
        "line": lambda: _words(chance, name, records),
        "rec": lambda: _another(chance, args[0], records),
        "recs": lambda: [
            one for _ in range(2) if (one := _another(chance, args[0], records))
        ],
        "list": lambda: _listed(chance, name, records),
    }
    return drawn[form.name]() if form.name in drawn else None


def _within(chance: Random, low: int, high: int) -> int:
    return chance.choice([low, *(n for n in WHOLE if low <= n <= high)])


def _words(chance: Random, name: str, records: Records) -> str:
    if name == "reach":
        stops = [rec for rec, one in records.items() if one["kind"] == "stop"]
        return chance.choice(["house", "system:electrical", "system:plumbing", *stops])
    if name in ("record", "subject"):
        return chance.choice(sorted(records))
    return chance.choice(WORDS.get(name, ("", "as found", "wet")))


def _another(chance: Random, kind: str, records: Records) -> str | None:
    fitting = sorted(rec for rec, one in records.items() if one["kind"] == kind)
    return chance.choice(fitting) if fitting else None


def _listed(chance: Random, name: str, records: Records) -> list[Any]:
    if name == "reach":
        return chance.sample(sorted(records), 1)
    return [chance.choice(DECIMALS) for _ in range(chance.randint(0, 5))]
