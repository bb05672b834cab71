"""The rules' language: shared vectors, and laws that hold for any expression."""

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from findings.rules import exact, explain, reading
from findings.rules.evaluate import BadExpression, Env, compile_expression
from findings.rules.tables import Table, Tables

FILE = Path(__file__).parents[2] / "fixtures" / "rules" / "vectors.json"
VECTORS = json.loads(FILE.read_text(encoding="utf-8"))["vectors"]


def run(expr: Any, fields: dict[str, Any] | None = None, tables: Any = None) -> Any:
    return compile_expression(expr)(Env(fields or {}, tables))


def tables_of(raw: dict[str, Any]) -> Tables:
    return Tables(
        {
            name: Table(
                name, "", tuple(t["keys"]), t["match"], tuple(t["rows"]), "", ""
            )
            for name, t in raw.items()
        }
    )


@pytest.mark.parametrize("vector", VECTORS, ids=lambda v: str(v["id"]))
def test_evaluator_agrees_with_the_shared_vector(vector: dict[str, Any]) -> None:
    tables = tables_of(vector.get("tables", {}))

    got = run(vector["expr"], vector["fields"], tables)

    assert got == vector["want"]
    assert type(got) is type(vector["want"])


def test_vectors_reach_every_operator() -> None:
    from findings.rules.evaluate import LAZY
    from findings.rules.operators import STRICT

    used: set[str] = set()

    def walk(expr: Any) -> None:
        if isinstance(expr, list) and expr and isinstance(expr[0], str):
            used.add(expr[0])
            if expr[0] != "lit":
                for part in expr[1:]:
                    walk(part)

    for vector in VECTORS:
        walk(vector["expr"])
    assert used >= set(LAZY) | set(STRICT) | {"f", "lit"}
    assert len(VECTORS) >= 150


truths = st.sampled_from([True, False, None])
decimals = st.decimals(-10_000, 10_000, places=3, allow_nan=False).map(
    lambda d: exact.to_wire(Fraction(d))
)


@given(truths, truths)
def test_and_is_or_turned_inside_out(a: bool | None, b: bool | None) -> None:
    fields = {"a": a, "b": b}
    left = run(["not", ["and", ["f", "a"], ["f", "b"]]], fields)
    right = run(["or", ["not", ["f", "a"]], ["not", ["f", "b"]]], fields)

    assert left is right


@given(decimals, decimals)
def test_sums_and_products_are_exact(a: exact.Wire, b: exact.Wire) -> None:
    assert Fraction(run(["add", a, b])) == Fraction(a) + Fraction(b)
    assert Fraction(run(["mul", a, b])) == Fraction(a) * Fraction(b)
    assert run(["sub", ["add", a, b], b]) == a


@given(decimals, decimals)
def test_order_is_total_and_agrees_with_numbers(a: exact.Wire, b: exact.Wire) -> None:
    answers = [run(["lt", a, b]), run(["gt", a, b])]

    assert answers == [Fraction(a) < Fraction(b), Fraction(a) > Fraction(b)]
    assert run(["le", a, b]) is not run(["gt", a, b])


@given(decimals, st.integers(1, 500), st.integers(0, 6))
def test_rounding_ways_bracket_the_quotient(a: exact.Wire, b: int, places: int) -> None:
    down = Fraction(run(["div", a, b, places, "down"]))
    up = Fraction(run(["div", a, b, places, "up"]))
    near = Fraction(run(["div", a, b, places]))
    true = Fraction(a) / b

    assert down <= true <= up
    assert near in (down, up)
    assert up - down <= Fraction(1, 10**places)
    assert abs(near - true) <= Fraction(1, 2 * 10**places)


@given(st.integers(1, 10_000), st.integers(1, 200), st.integers(0, 4))
def test_power_rounds_down_to_its_places(
    base: int, hundredths: int, places: int
) -> None:
    exponent = exact.to_wire(Fraction(hundredths, 100))
    got = Fraction(run(["power", base, exponent, places]))
    step = Fraction(1, 10**places)
    power = Fraction(exponent)

    assert got**power.denominator <= Fraction(base) ** power.numerator
    assert (got + step) ** power.denominator > Fraction(base) ** power.numerator


scalars = st.one_of(
    st.none(), st.booleans(), st.integers(-99, 99), decimals, st.text(max_size=4)
)
leaves = st.one_of(scalars, st.sampled_from([["f", "x"], ["f", "y"], ["f", "none"]]))
expressions = st.recursive(
    leaves,
    lambda inner: st.one_of(
        st.tuples(st.sampled_from(["and", "or", "eq", "lt", "add"]), inner, inner),
        st.tuples(st.sampled_from(["not", "known", "len"]), inner),
        st.tuples(st.just("choose"), inner, inner, inner),
        st.tuples(st.sampled_from(["any", "all", "count"]), inner, inner),
        st.tuples(st.just("between"), inner, inner, inner),
    ).map(list),
    max_leaves=12,
)


@given(expressions, scalars, scalars)
def test_any_expression_ends_in_a_value_and_never_raises(
    expr: Any, x: Any, y: Any
) -> None:
    env = Env({"x": x, "y": y})
    first = compile_expression(expr)(env)

    assert first == compile_expression(expr)(Env({"x": x, "y": y}))
    assert isinstance(first, type(None) | bool | int | str | list)
    assert isinstance(explain.words(expr, env.fields), str)


@given(expressions)
def test_a_field_made_known_never_overturns_a_decided_and(expr: Any) -> None:
    # What was decided with y unknown stays decided once y is known: three-valued
    # logic is monotone, as long as nothing asks whether a value is known.
    whole = ["and", ["f", "x"], ["eq", ["f", "y"], 1]]
    before = run(whole, {"x": False})

    assert before is False
    assert run(whole, {"x": False, "y": run(expr, {})}) is False


@pytest.mark.parametrize(
    "expr",
    [[], ["nope", 1], ["eq", 1], ["f"], ["f", 3], ["choose", 1, 2], {"a": 1}, 1.5, [5]],
)
def test_what_is_no_expression_is_refused_when_compiled(expr: Any) -> None:
    with pytest.raises(BadExpression):
        compile_expression(expr)


@pytest.mark.parametrize(
    ("text", "arrays"),
    [
        ("ocpd > limit_A", ["gt", ["f", "ocpd"], ["f", "limit_A"]]),
        ("a == 'x' and not b", ["and", ["eq", ["f", "a"], "x"], ["not", ["f", "b"]]]),
        ("1 <= a < 2.50", ["and", ["le", 1, ["f", "a"]], ["lt", ["f", "a"], "2.5"]]),
        ("a * 0.83", ["mul", ["f", "a"], "0.83"]),
        ("a not in ['x', 'y']", ["not", ["in", ["f", "a"], ["lit", ["x", "y"]]]]),
        ("it.p == no", ["eq", ["f", "it.p"], False]),
        ("1 if known(a) else -2", ["choose", ["known", ["f", "a"]], 1, -2]),
        (
            "sure(a == 1)",
            ["choose", ["known", ["eq", ["f", "a"], 1]], ["eq", ["f", "a"], 1], False],
        ),
    ],
)
def test_written_conditions_become_arrays(text: str, arrays: Any) -> None:
    assert reading.read(text) == arrays


@pytest.mark.parametrize(
    "text",
    [
        "a >",
        "a / 2",
        "f'{a}'",
        "a[0]",
        "lambda: 1",
        "nope(a)",
        "True",
        "a ** 2",
        "(1, 2)",
    ],
)
def test_what_cannot_be_read_is_refused_with_its_text(text: str) -> None:
    with pytest.raises(BadExpression, match=r"read|operator|div|write|plain"):
        reading.read(text)
