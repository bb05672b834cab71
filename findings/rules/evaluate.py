"""The rules' language: JSON arrays compiled once to closures.

Semantics, in full (the browser's evaluator does the same, vectors.json holds both):

* A value is true, false, a whole number, a string, a list, an object or null.
  Null is *unknown*; a field that is absent is unknown.
* A number is a whole number or a decimal string ("36.5", no exponent, no plus sign,
  no leading zero, at most 30 digits each side). Results are whole numbers when they
  can be, else the shortest decimal string. In the browser numbers are pairs of
  BigInt (digits, scale); floats never occur. `true` is not a number.
* ["f", name] reads a field; "it", "it.part" read the element inside any, all, count.
  ["lit", x] is x itself; a bare string, number, true, false or null stands for itself.
* and, or, not follow three-valued logic: one false decides `and`, one true decides
  `or`, else one unknown makes the whole unknown.
* Every other operator is unknown when one of its arguments is unknown, except: known
  (is it there), given (the list of its known arguments), choose (condition, value, ...,
  else: the first true condition decides, an unknown one before it makes unknown),
  any, all, count (over a list; three-valued; count is unknown if one element is),
  total (the sum of a number over a list; unknown if one of them is).
* eq, ne compare simple values and never convert: 1 and "1" differ, true and 1 differ.
  Strings are compared after NFC. `in` is eq against each element of a list.
* lt le gt ge between(low, high inclusive): two numbers by value, two strings that are
  not numbers by code point (not by UTF-16 unit) after NFC; anything else is an error.
* add sub mul are exact. div(a, b, places, how) rounds half_up (away from zero), up or
  down. power(a, b, places) rounds down. min, max take numbers or one list of numbers.
* len counts elements or code points; starts is exact; contains ignores the case of
  A-Z only; concat joins strings and numbers. No regular expressions.
* date_add(date, days), date_diff(later, earlier) take "YYYY-MM-DD". There is no now.
* look(table, column, keys...) reads a named table; no such row is unknown.
* An error of type is unknown and leaves a line in the trace. Rules fire on true only.
"""

import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Protocol, TypeAlias

from findings.rules import exact, operators
from findings.rules.operators import Mismatch, number

Value: TypeAlias = Any
Node: TypeAlias = "Callable[[Env], Value]"


class Tables(Protocol):
    """Where look finds its tables."""

    def look(self, name: str, column: str, keys: Sequence[Value]) -> Value: ...


@dataclass
class Env:
    """One evaluation: the fields, the tables and the trace of type errors."""

    fields: Mapping[str, Value]
    tables: Tables | None = None
    trace: list[Any] = field(default_factory=list)  # notes, and steps of an engine


class BadExpression(ValueError):
    """An expression that cannot be compiled."""


def compile_expression(expr: Value) -> Node:
    """Turn an expression into a closure. Raises BadExpression with the reason."""
    if isinstance(expr, str):
        text = unicodedata.normalize("NFC", expr)
        return lambda _env: text
    if expr is None or isinstance(expr, bool | int):
        return lambda _env: expr
    if not isinstance(expr, list) or not expr or not isinstance(expr[0], str):
        raise BadExpression(f"not an expression: {expr!r}")
    name, args = expr[0], expr[1:]
    if name == "lit":
        _arity(name, args, 1, 1)
        value = args[0]
        return lambda _env: value
    if name == "f":
        _arity(name, args, 1, 1)
        return _field(args[0])
    nodes = [compile_expression(arg) for arg in args]
    if name in LAZY:
        low, high, build = LAZY[name]
        _arity(name, args, low, high)
        return build(nodes)
    if name in operators.STRICT:
        low, high, work = operators.STRICT[name]
        _arity(name, args, low, high)
        return _strict(name, work, nodes)
    raise BadExpression(f"no operator {name!r}")


def _arity(name: str, args: list[Value], low: int, high: int) -> None:
    if not low <= len(args) <= high:
        raise BadExpression(f"{name} takes {low} to {high} arguments, got {len(args)}")


def _field(path: Value) -> Node:
    if not isinstance(path, str) or not path:
        raise BadExpression(f"f takes a name, got {path!r}")
    head, *rest = path.split(".")
    if not rest:
        return lambda env: env.fields.get(head)

    def read(env: Env) -> Value:
        value = env.fields.get(head)
        for part in rest:
            value = value.get(part) if isinstance(value, dict) else None
        return value

    return read


def _strict(name: str, work: Callable[..., Value], nodes: list[Node]) -> Node:
    def run(env: Env) -> Value:
        values = [node(env) for node in nodes]
        if None in values:
            return None
        try:
            return work(*values)
        except (Mismatch, ValueError, OverflowError) as error:
            env.trace.append(f"{name}: {error}")
            return None

    def of_two(env: Env) -> Value:
        left, right = first(env), second(env)
        if left is None or right is None:
            return None
        try:
            return work(left, right)
        except (Mismatch, ValueError, OverflowError) as error:
            env.trace.append(f"{name}: {error}")
            return None

    if len(nodes) != 2:  # noqa: PLR2004 (most conditions compare two values)
        return run
    first, second = nodes
    return of_two


def _truth(env: Env, where: str, value: Value) -> bool | None:
    if value is None or isinstance(value, bool):
        return value
    env.trace.append(f"{where}: {value!r} is neither true nor false")
    return None


def _and_or(name: str, *, decisive: bool) -> Callable[[list[Node]], Node]:
    def build(nodes: list[Node]) -> Node:
        def run(env: Env) -> Value:
            unknown = False
            for node in nodes:
                value = _truth(env, name, node(env))
                if value is decisive:
                    return decisive
                unknown = unknown or value is None
            return None if unknown else not decisive

        return run

    return build


def _known(nodes: list[Node]) -> Node:
    return lambda env: nodes[0](env) is not None


def _given(nodes: list[Node]) -> Node:
    return lambda env: [v for v in (node(env) for node in nodes) if v is not None]


def _choose(nodes: list[Node]) -> Node:
    if len(nodes) % 2 == 0:
        raise BadExpression("choose ends with an else")

    def run(env: Env) -> Value:
        for test, value in zip(nodes[:-1:2], nodes[1::2], strict=True):
            decided = _truth(env, "choose", test(env))
            if decided is None:
                return None
            if decided:
                return value(env)
        return nodes[-1](env)

    return run


def _each(env: Env, where: str, nodes: list[Node]) -> list[bool | None] | None:
    """Give the body's answer for each element, or None when there is no list."""
    items = nodes[0](env)
    if items is None:
        return None
    if not isinstance(items, list):
        env.trace.append(f"{where}: {items!r} is not a list")
        return None
    answers = []
    for item in items:
        inner = Env({**env.fields, "it": item}, env.tables, env.trace)
        answers.append(_truth(env, where, nodes[1](inner)))
    return answers


def _any_all(name: str, *, decisive: bool) -> Callable[[list[Node]], Node]:
    def build(nodes: list[Node]) -> Node:
        def run(env: Env) -> Value:
            answers = _each(env, name, nodes)
            if answers is None:
                return None
            if decisive in answers:
                return decisive
            return None if None in answers else not decisive

        return run

    return build


def _count(nodes: list[Node]) -> Node:
    def run(env: Env) -> Value:
        answers = _each(env, "count", nodes)
        return None if answers is None or None in answers else sum(map(bool, answers))

    return run


def _total(nodes: list[Node]) -> Node:
    def run(env: Env) -> Value:
        items = nodes[0](env)
        if items is None:
            return None
        if not isinstance(items, list):
            env.trace.append(f"total: {items!r} is not a list")
            return None
        values = [
            nodes[1](Env({**env.fields, "it": item}, env.tables, env.trace))
            for item in items
        ]
        if None in values:
            return None
        try:
            return exact.to_wire(sum((number(value) for value in values), Fraction(0)))
        except Mismatch as error:
            env.trace.append(f"total: {error}")
            return None

    return run


def _look(nodes: list[Node]) -> Node:
    def run(env: Env) -> Value:
        name, column, *keys = (node(env) for node in nodes)
        if env.tables is None or None in keys:
            return None
        return env.tables.look(name, column, keys)

    return run


MANY = 64
LAZY: dict[str, tuple[int, int, Callable[[list[Node]], Node]]] = {
    "and": (1, MANY, _and_or("and", decisive=False)),
    "or": (1, MANY, _and_or("or", decisive=True)),
    "known": (1, 1, _known),
    "given": (0, MANY, _given),
    "choose": (3, MANY, _choose),
    "any": (2, 2, _any_all("any", decisive=True)),
    "all": (2, 2, _any_all("all", decisive=False)),
    "count": (2, 2, _count),
    "total": (2, 2, _total),
    "look": (3, 6, _look),
}
