"""YAML with exact numbers and with the line each key stands on."""

from pathlib import Path
from typing import Any

import yaml

from findings.rules import exact

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"


def named(path: Path) -> str:
    """Give a file as messages name it: from the top of the project where it can be."""
    inside = path.is_relative_to(FIXTURES.parent)
    return str(path.relative_to(FIXTURES.parent)) if inside else str(path)


class RuleFileError(ValueError):
    """A data file that cannot be used; the message names file, line and key."""

    def __init__(self, path: Path | str, line: int, key: str, message: str) -> None:
        super().__init__(f"{path}, line {line}, {key}: {message}")
        self.path, self.line, self.key = str(path), line, key
        self.told = message


class Mapping(dict[str, Any]):
    """A mapping that remembers the line of each of its keys."""

    lines: dict[str, int]
    line: int

    def at(self, key: str) -> int:
        """Give the line a key stands on, or the mapping's own."""
        return self.lines.get(key, self.line)


class _Loader(yaml.CSafeLoader):
    path: str = ""


class _PlainLoader(_Loader):
    """For case files, which are written in ordinary YAML 1.1."""


class _StrictLoader(_Loader):
    """For our own files: only true and false are booleans, no dates."""


def _mapping(loader: _Loader, node: yaml.MappingNode) -> Mapping:
    result = Mapping()
    result.lines, result.line = {}, node.start_mark.line + 1
    for key_node, value_node in node.value:
        key = str(loader.construct_object(key_node, deep=True))
        line = key_node.start_mark.line + 1
        if key in result:
            raise RuleFileError(loader.path, line, key, "is there twice")
        result.lines[key] = line
        result[key] = loader.construct_object(value_node, deep=True)
    return result


def _decimal(_loader: _Loader, node: yaml.ScalarNode) -> Any:
    # "4.50" stays the exact decimal it was written as.
    text = str(node.value)
    return exact.from_any(text.rstrip("0").rstrip(".") if "." in text else text) or text


def _day(_loader: _Loader, node: yaml.ScalarNode) -> str:
    return str(node.value)


for _kind in (_PlainLoader, _StrictLoader):
    _kind.add_constructor("tag:yaml.org,2002:map", _mapping)
    _kind.add_constructor("tag:yaml.org,2002:float", _decimal)
    _kind.add_constructor("tag:yaml.org,2002:timestamp", _day)

_StrictLoader.yaml_implicit_resolvers = {
    first: [
        (tag, pattern)
        for tag, pattern in resolvers
        if tag != "tag:yaml.org,2002:bool" or first in "tfTF"
    ]
    for first, resolvers in _Loader.yaml_implicit_resolvers.items()
}


def read(path: Path, *, plain: bool = False) -> Any:
    """Give the file's content. Raises RuleFileError when it is not YAML."""
    return parse(path.read_text(encoding="utf-8"), str(path), plain=plain)


def parse(text: str, path: str, *, plain: bool = False) -> Any:
    """Give the text's content; `path` is for messages only."""
    loader = (_PlainLoader if plain else _StrictLoader)(text)
    loader.path = path
    try:
        return loader.get_single_data()
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 0
        problem = error.problem or "is not YAML"
        raise RuleFileError(path, line, "file", problem) from error
    except yaml.reader.ReaderError as error:
        line = text.count("\n", 0, int(error.position)) + 1
        raise RuleFileError(path, line, "file", "holds what is no text") from error
    finally:
        loader.dispose()
