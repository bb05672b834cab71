"""Reads a condition as a person writes it and gives the language's JSON arrays.

    ocpd > limit_A and not sure(load_type == 'motor_ac')

Only the arrays travel and are evaluated; this form exists so that a rule can be
read aloud. `sure(x)` is sugar: true when x is true, false when x is false or unknown.
"""

import ast
from typing import Any, TypeAlias

from findings.rules import exact
from findings.rules.evaluate import LAZY, BadExpression
from findings.rules.operators import STRICT

Value: TypeAlias = Any

COMPARE = {
    ast.Eq: "eq", ast.NotEq: "ne", ast.Lt: "lt", ast.LtE: "le",
    ast.Gt: "gt", ast.GtE: "ge", ast.In: "in",
}  # fmt: skip
ARITHMETIC = {ast.Add: "add", ast.Sub: "sub", ast.Mult: "mul"}
WORDS: dict[str, Value] = {"yes": True, "no": False, "unknown": None}


def read(source: Value) -> Value:
    """JSON arrays from text; anything but text is taken as it stands."""
    if not isinstance(source, str):
        return source
    try:
        tree = ast.parse(source.strip(), mode="eval")
    except SyntaxError as error:
        raise BadExpression(f"cannot read {source!r}: {error.msg}") from error
    return _Reader(source.strip()).node(tree.body)


class _Reader:
    def __init__(self, source: str) -> None:
        self.source = source

    def node(self, tree: ast.expr) -> Value:
        work = getattr(self, f"_{type(tree).__name__.lower()}", None)
        if work is None:
            raise BadExpression(f"cannot read {ast.unparse(tree)!r}")
        return work(tree)

    def _boolop(self, tree: ast.BoolOp) -> Value:
        name = "and" if isinstance(tree.op, ast.And) else "or"
        return [name, *map(self.node, tree.values)]

    def _unaryop(self, tree: ast.UnaryOp) -> Value:
        if isinstance(tree.op, ast.Not):
            return ["not", self.node(tree.operand)]
        value = self.node(tree.operand)
        if isinstance(tree.op, ast.USub) and exact.parse(value) is not None:
            return -value if isinstance(value, int) else f"-{value}"
        raise BadExpression(f"cannot read {ast.unparse(tree)!r}")

    def _compare(self, tree: ast.Compare) -> Value:
        sides = [tree.left, *tree.comparators]
        parts = [
            self._pair(op, left, right)
            for op, left, right in zip(tree.ops, sides, sides[1:], strict=False)
        ]
        return parts[0] if len(parts) == 1 else ["and", *parts]

    def _pair(self, op: ast.cmpop, left: ast.expr, right: ast.expr) -> Value:
        if isinstance(op, ast.NotIn):
            return ["not", ["in", self.node(left), self.node(right)]]
        if type(op) not in COMPARE:
            raise BadExpression(f"cannot read a comparison in {self.source!r}")
        return [COMPARE[type(op)], self.node(left), self.node(right)]

    def _binop(self, tree: ast.BinOp) -> Value:
        if type(tree.op) not in ARITHMETIC:
            raise BadExpression(f"use div(a, b, places) in {self.source!r}")
        name = ARITHMETIC[type(tree.op)]
        return [name, self.node(tree.left), self.node(tree.right)]

    def _ifexp(self, tree: ast.IfExp) -> Value:
        parts = (tree.test, tree.body, tree.orelse)
        return ["choose", *map(self.node, parts)]

    def _call(self, tree: ast.Call) -> Value:
        name = tree.func.id.rstrip("_") if isinstance(tree.func, ast.Name) else ""
        args = [self.node(arg) for arg in tree.args]
        if name == "sure" and len(args) == 1:
            return ["choose", ["known", args[0]], args[0], False]
        if tree.keywords or (name not in STRICT and name not in LAZY):
            raise BadExpression(f"no operator in {ast.unparse(tree)!r}")
        return [name, *args]

    def _name(self, tree: ast.Name) -> Value:
        return WORDS.get(tree.id, ["f", tree.id])

    def _attribute(self, tree: ast.Attribute) -> Value:
        inner = self.node(tree.value)
        if not (isinstance(inner, list) and inner[0] == "f"):
            raise BadExpression(f"cannot read {ast.unparse(tree)!r}")
        return ["f", f"{inner[1]}.{tree.attr}"]

    def _list(self, tree: ast.List) -> Value:
        items = [self.node(item) for item in tree.elts]
        if any(isinstance(item, list) for item in items):
            raise BadExpression(f"a list holds plain values: {ast.unparse(tree)!r}")
        return ["lit", items]

    def _constant(self, tree: ast.Constant) -> Value:
        if isinstance(tree.value, float):
            # The written digits, not the float: 0.83 must stay 0.83.
            digits = ast.get_source_segment(self.source, tree)
            wire = exact.from_any(digits)
            if wire is None:
                raise BadExpression(f"not a plain decimal: {digits}")
            return wire
        if isinstance(tree.value, bool) or not isinstance(tree.value, int | str):
            raise BadExpression(f"write yes, no or unknown, not {tree.value!r}")
        return tree.value


def fields(expr: Value) -> set[str]:
    """Give the names an expression reads, without the element `it`."""
    if not isinstance(expr, list) or not expr or expr[0] == "lit":
        return set()
    if expr[0] == "f":
        return {expr[1].split(".")[0]} - {"it"}
    return set().union(*(fields(part) for part in expr[1:]))
