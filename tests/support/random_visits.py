"""Visits of any content that the vocabulary allows, from a seed."""

from __future__ import annotations

import random
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from uuid import UUID

from inspections.log import vocabulary
from inspections.log.forms import Form

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
KNOWN = vocabulary.load(FIXTURES / "vocabulary" / "records.yaml")
WORDS = ("", "locked", "a duct in the way", "brick and block", "wet", "two by ten")
DULL = {"mark", "photo", "decision", "typed_right", "visit", "stop"}
Records = dict[str, dict[str, Any]]


def visit(seed: int, kinds: Mapping[str, int], duties: list[str]) -> Records:
    """Make a visit: `kinds` weighs what is drawn, `duties` are ids to be answered."""
    chance = random.Random(seed)
    stops = [_id(chance) for _ in range(chance.randint(1, 9))]
    records: Records = {stop: _record(chance, "stop", stops, []) for stop in stops}
    for stop in stops:
        if chance.random() < 0.6:
            records[stop]["closed_at"] = "2026-11-24T15:00:00Z"
            records[stop]["closed_struck"] = chance.sample(duties, 2)
    names, weights = list(kinds), list(kinds.values())
    for kind in chance.choices(names, weights, k=chance.randint(0, 40)):
        made = _record(chance, kind, stops, list(records))
        if kind == "duty":
            made["duty"] = chance.choice(duties)
        if kind == "limit":
            pool = [*stops, *duties, "system:electrical", "system:roof"]
            made["reach"] = chance.sample(pool, chance.randint(0, 3))
        records[_id(chance)] = made
    return records


def _id(chance: random.Random) -> str:
    return str(UUID(int=chance.getrandbits(128), version=4))


def _record(
    chance: random.Random, kind: str, stops: list[str], others: list[str]
) -> dict[str, Any]:
    made: dict[str, Any] = {"kind": kind}
    for name, form in KNOWN.kinds[kind].items():
        if name == "closed_at" or chance.random() < 0.35:
            continue
        value = _value(chance, form, stops, others)
        if value is not None:
            made[name] = value
    return made


def _value(
    chance: random.Random, form: Form, stops: list[str], others: list[str]
) -> Any:
    args = form.args
    drawn = {
        "choice": lambda: chance.choice(args),
        "choices": lambda: chance.sample(args, chance.randint(0, len(args))),
        "flag": lambda: chance.random() < 0.5,
        "int": lambda: _whole(chance, int(args[0]), int(args[1])),
        "decimal": lambda: chance.choice(("0", "4.5", "17.9", "18", "24", "36.5")),
        "text": lambda: chance.choice(WORDS),
        "line": lambda: chance.choice(WORDS),
        "rec": lambda: chance.choice(stops if args[0] == "stop" else others or [None]),
    }
    return drawn[form.name]() if form.name in drawn else None


def _whole(chance: random.Random, low: int, high: int) -> int:
    return chance.choice((0, 1, 2, 5, low, high)) if low <= 0 else low
