"""No module, function, template or script grows past what a reader can hold."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from tests.architecture.sources import (
    APPS,
    ROOT,
    Function,
    functions,
    length,
    modules,
    shown,
    templates,
    tree_of,
)

MODULE, MODELS, TEST_MODULE = 400, 500, 500
FUNCTION, VIEW, TASK, PARAMETERS = 40, 20, 10, 8
TEMPLATE, SCRIPT, NESTING = 200, 250, 3
HTTP_METHODS = {"get", "post", "put", "patch", "delete", "head", "options"}
BLOCK = re.compile(r"{%-?\s*(if|for|endif|endfor)\b")


def lines_of(path: Path) -> int:
    return len(path.read_text().splitlines())


def limit_for(path: Path) -> int:
    if path.is_relative_to(ROOT / "tests"):
        return TEST_MODULE
    return MODELS if "models" in path.with_suffix("").parts else MODULE


def entry_points(path: Path) -> Iterator[tuple[Function, int]]:
    """Yield the functions of a module that only translate, with their limit."""
    tree = tree_of(path)
    parts = path.relative_to(ROOT).parts
    top = [node for node in tree.body if isinstance(node, Function)]
    if path.name == "tasks.py":
        yield from ((node, TASK) for node in top)
    if "views" in parts:
        yield from ((n, VIEW) for n in top if first_argument(n) == "request")
    if "views" in parts or "api" in parts:
        yield from ((node, VIEW) for node in handlers(tree))


def handlers(tree: ast.Module) -> Iterator[Function]:
    """Yield the methods that answer a request."""
    for owner in tree.body:
        if isinstance(owner, ast.ClassDef):
            for node in owner.body:
                if isinstance(node, Function) and node.name in HTTP_METHODS:
                    yield node


def first_argument(function: Function) -> str:
    arguments = function.args.posonlyargs + function.args.args
    return arguments[0].arg if arguments else ""


def deepest(text: str) -> int:
    """Return how many {% if %} and {% for %} are open at the deepest place."""
    level = deepest_level = 0
    for match in BLOCK.finditer(text):
        level += -1 if match[1].startswith("end") else 1
        deepest_level = max(deepest_level, level)
    return deepest_level


def test_modules_stay_short():
    long = [
        f"{shown(path)}: {lines_of(path)} lines, at most {limit_for(path)}; "
        "split it by noun into a package"
        for path in modules(*APPS, "tests")
        if lines_of(path) > limit_for(path)
    ]
    assert not long, "\n".join(long)


def test_functions_stay_short():
    long = [
        f"{shown(path)}:{node.lineno} {node.name}: {length(node)} lines, "
        f"at most {FUNCTION}"
        for path in modules(*APPS, "tests")
        if "migrations" not in path.parts
        for node in functions(tree_of(path))
        if length(node) > FUNCTION
    ]
    assert not long, "\n".join(long)


def test_functions_take_few_parameters():
    wide = [
        f"{shown(path)}:{node.lineno} {node.name}"
        for path in modules(*APPS)
        for node in functions(tree_of(path))
        if len(node.args.posonlyargs + node.args.args + node.args.kwonlyargs)
        > PARAMETERS + (first_argument(node) in {"self", "cls"})
    ]
    assert not wide, f"more than {PARAMETERS} parameters:\n" + "\n".join(wide)


def test_views_and_tasks_only_translate():
    long = [
        f"{shown(path)}:{node.lineno} {node.name}: {length(node)} lines, at most "
        f"{limit}; move the work into a service or a selector"
        for path in modules(*APPS)
        for node, limit in entry_points(path)
        if length(node) > limit
    ]
    assert not long, "\n".join(long)


def test_templates_stay_short_and_flat():
    found = []
    for path in templates():
        text = path.read_text()
        if lines_of(path) > TEMPLATE:
            found.append(f"{shown(path)}: {lines_of(path)} lines, at most {TEMPLATE}")
        if deepest(text) > NESTING:
            found.append(
                f"{shown(path)}: blocks {deepest(text)} deep, at most {NESTING}; "
                "move the inner part into a partial"
            )
    assert not found, "\n".join(found)


def test_scripts_stay_short():
    long = [
        f"{shown(path)}: {lines_of(path)} lines, at most {SCRIPT}"
        for path in sorted((ROOT / "static" / "js").rglob("*.js"))
        if lines_of(path) > SCRIPT
    ]
    assert not long, "\n".join(long)
