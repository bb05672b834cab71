"""Random expressions, records and rule inputs from a seed; the same seed, the same."""

from __future__ import annotations

import json
from pathlib import Path
from random import Random
from typing import Any

from findings.rules.era import Dates, Line, Span
from findings.rules.evaluate import LAZY, Env, compile_expression
from findings.rules.inputs import SIZES, InputSpec
from findings.rules.operators import STRICT
from findings.rules.rule import Rule
from findings.rules.tables import Table, Tables

WORDS = [
    "",
    "a",
    "b",
    "é",
    "é",
    "Zebra",
    "12",
    "1.50",
    "-0",
    "2024-02-29",
    "2023-02-29",
]
WORDS += ["9999-12-31", "0000-01-01", "x" * 31, "𝔸", "ß", "yes", "none"]
NAMES = ["x", "y", "z", "it", "it.a", "o.a", "missing"]
TABLES = {
    "cap": {
        "keys": ["m", "s"],
        "match": "exact",
        "rows": [{"m": "cu", "s": "14", "a": 15}, {"m": "cu", "s": "12", "a": 20}],
    },
    "up": {
        "keys": ["n"],
        "match": "at_least",
        "rows": [{"n": 15}, {"n": 20}, {"n": "22.5"}],
    },
    "down": {"keys": ["n"], "match": "at_most", "rows": [{"n": 15}, {"n": 20}]},
}


def tables_of(raw: dict[str, Any]) -> Tables:
    """Give tables written as a vector writes them."""
    made = {
        name: Table(name, "", tuple(t["keys"]), t["match"], tuple(t["rows"]), "", "")
        for name, t in raw.items()
    }
    return Tables(made)


def value(random: Random, depth: int = 0) -> Any:
    """Give a value of any of the language's kinds."""
    makers = [
        lambda: None,
        lambda: random.random() < 0.5,
        lambda: random.randint(-30, 30),
        lambda: f"{random.randint(-9, 99)}.{random.randint(0, 999)}",
        lambda: random.choice(WORDS),
        lambda: random.choice(WORDS),
        lambda: {"a": value(random, depth + 1)},
        lambda: [value(random, depth + 1) for _ in range(random.randrange(4))],
        lambda: [value(random, depth + 1) for _ in range(random.randrange(4))],
    ]
    return random.choice(makers if depth < 2 else makers[:6])()


def expression(random: Random, depth: int = 0) -> Any:
    """Give an expression that compiles."""
    if depth > 3 or random.random() < 0.2:
        return random.choice(
            [["f", random.choice(NAMES)], ["lit", value(random)], _plain(random)]
        )
    name = random.choice([*LAZY, *STRICT])
    if name == "look":
        table = random.choice([*TABLES, "none"])
        keys = [_key(random) for _ in range(random.choice([1, 1, 2]))]
        return ["look", table, random.choice(["a", "n"]), *keys]
    low, high, _ = (LAZY | STRICT)[name]
    size = random.randint(low, min(high, low + 2))
    if name == "choose" and size % 2 == 0:
        size += 1
    return [name, *(expression(random, depth + 1) for _ in range(size))]


def _plain(random: Random) -> Any:
    return random.choice([None, True, False, random.randint(-9, 40), *WORDS[:6]])


def _key(random: Random) -> Any:
    return random.choice(["cu", "14", 14, "12", 15, 18, 20, "22.5", 25, None])


def task(random: Random) -> dict[str, Any]:
    """Give one expression with the fields and tables it may read."""
    fields = {name: value(random) for name in ("x", "y", "z", "o")}
    return {"expr": expression(random), "fields": fields, "tables": TABLES}


def given(random: Random, rule: Rule) -> dict[str, Any]:
    """Give inputs of a rule, some left out and a few of the wrong kind."""
    return {
        name: _input(random, spec)
        for name, spec in rule.inputs.items()
        if random.random() < 0.8
    }


def _input(random: Random, spec: InputSpec) -> Any:
    if random.random() < 0.03:
        return value(random)
    makers = {
        "number": lambda: _reading(random),
        "count": lambda: random.randint(0, 14),
        "flag": lambda: random.choice([True, False, "yes", "no"]),
        "choice": lambda: random.choice(spec.choices or ["a"]),
        "year": lambda: random.randint(1900, 2026),
        "size": lambda: random.choice(SIZES),
        "material": lambda: random.choice(["cu", "al", "copper_clad_al"]),
        "list": lambda: [random.randint(0, 12) for _ in range(random.randrange(4))],
        "date": lambda: random.choice(["2001-05-04", "1994"]),
        "slots": lambda: [random.choice([0, 118, 120]) for _ in range(3)],
        "object": lambda: {"a": random.randint(0, 5)},
    }
    return makers.get(spec.kind, lambda: random.choice(WORDS))()


def _reading(random: Random) -> str:
    digits = f"{random.randint(0, 120)}.{random.choice(['0', '25', '5'])}"
    if random.random() < 0.85:
        return digits
    return digits + random.choice([" in", " ft", "mm", " cm", "°C", " F", "furlong"])


def write_vectors(path: Path, seed: int, first: int, count: int) -> None:
    """Write generated vectors with the server's answers, to be held by both sides."""
    random = Random(seed)
    rows: list[dict[str, Any]] = []
    tables = tables_of(TABLES)
    while len(rows) < count:
        one = task(random)
        want = compile_expression(one["expr"])(Env(one["fields"], tables))
        # Most random expressions know nothing; one in four of those is enough.
        if want is None and random.random() < 0.75:
            continue
        rows.append({"id": first + len(rows), **one, "want": want})
    lines = ",\n".join(f"  {json.dumps(row, ensure_ascii=False)}" for row in rows)
    path.write_text(f'{{"schema": 1, "seed": {seed}, "vectors": [\n{lines}\n]}}\n')


EDITIONS = (1971, 1984, 1990, 1999, 2002, 2008, 2014, 2017, 2020, 2023)


def dates(random: Random) -> Dates:
    """Give dates of any kind: ranges, lists of the state and the town, a lag, none."""
    some: dict[str, Any] = {
        name: _span(random)
        for name in ("built", "permit", "installed", "altered", "replaced")
        if random.random() < (0.7 if name == "built" else 0.2)
    }
    sure = random.random() < 0.15
    return Dates(
        **some,
        adoption=_lines(random, (0, 0, 1, 2, 4)),
        local=tuple(_lines(random, (1, 2)) for _ in range(random.choice((0, 0, 0, 1)))),
        adopted_edition=random.choice(EDITIONS) if sure else None,
        lag=random.choice((None, None, 0, 3, 6)),
        rule_effective=_day(random) if random.random() < 0.1 else "",
        amendment=random.choice((None,) * 12 + (True, False, "read the town's own")),
    )


def _lines(random: Random, counts: tuple[int, ...]) -> tuple[Line, ...]:
    return tuple(
        Line(random.choice(EDITIONS), _day(random))
        for _ in range(random.choice(counts))
    )


def _span(random: Random) -> Span:
    first, last = sorted((_day(random), _day(random)))
    return Span(first, last if random.random() < 0.5 else first)


def _day(random: Random) -> str:
    month, day = random.randint(1, 12), random.randint(1, 28)
    return f"{random.randint(1930, 2026)}-{month:02}-{day:02}"
