"""The line of a data file that a refusal such as `$.duties[7].stops` speaks of."""

import re

import yaml

PATH = re.compile(r"`(\$[^`]*)`")
UNKNOWN = re.compile(r"unknown field `([^`]+)`")
PART = re.compile(r"\.([^.\[\]]+)|\[(\d+|\.\.\.)\]")


def line_of_id(text: str, problem: str) -> int:
    """Give the line of the last entry with the id that a problem begins with."""
    name = problem.split(":", maxsplit=1)[0]
    found = [
        number
        for number, line in enumerate(text.splitlines(), start=1)
        if re.search(rf"\bid: {re.escape(name)}\b", line) or line.startswith(f"{name}:")
    ]
    return found[-1] if found else 1


def line_of(text: str, message: str) -> int:
    """Give the line of the innermost part that can be found; 1 where there is none."""
    named = PATH.search(message)
    node = yaml.compose(text, Loader=yaml.SafeLoader)
    line = node.start_mark.line + 1 if node else 1
    for key, place in PART.findall(named[1]) if named else ():
        node, found = _inside(node, key, place)
        if found is None:
            break
        line = found
    key = UNKNOWN.search(message)
    if key is not None:
        _, found = _inside(node, key[1], "")
        line = found or line
    return line


def _inside(
    node: yaml.Node | None, key: str, place: str
) -> tuple[yaml.Node | None, int | None]:
    if key and isinstance(node, yaml.MappingNode):
        for name, value in node.value:
            if name.value == key:
                return value, name.start_mark.line + 1
    listed = node.value if isinstance(node, yaml.SequenceNode) else []
    if place.isdigit() and int(place) < len(listed):
        inner = listed[int(place)]
        return inner, inner.start_mark.line + 1
    return None, None
