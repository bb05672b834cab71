"""The project's files as the architecture tests read them."""

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
APPS = ("firm", "inspections", "findings", "reports")


def modules(*folders: str) -> list[Path]:
    """Return every Python file below the named top folders."""
    return sorted(path for name in folders for path in (ROOT / name).rglob("*.py"))


def templates() -> list[Path]:
    return sorted(path for app in APPS for path in (ROOT / app).rglob("*.html"))


def shown(path: Path) -> str:
    """Return a path as a person would type it."""
    return str(path.relative_to(ROOT))


def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(), filename=str(path))


Function = ast.FunctionDef | ast.AsyncFunctionDef


def functions(tree: ast.AST) -> Iterator[Function]:
    for node in ast.walk(tree):
        if isinstance(node, Function):
            yield node


def length(function: Function) -> int:
    """Count a function's lines from `def` on, its docstring left out."""
    assert function.end_lineno is not None
    lines = function.end_lineno - function.lineno + 1
    first = function.body[0]
    if ast.get_docstring(function, clean=False) is not None:
        assert first.end_lineno is not None
        lines -= first.end_lineno - first.lineno + 1
    return lines
