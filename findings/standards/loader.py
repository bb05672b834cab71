"""Reads the standard packs from fixtures/packs; a broken file never reaches a visit."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from string import Formatter

import msgspec
import yaml

from findings import kept
from findings.standards.lines import line_of, line_of_id
from findings.standards.schema import Duty, Pack
from findings.standards.schema_asks import Asks
from findings.standards.schema_base import Strict

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"


class PackError(ValueError):
    """A pack file that cannot be used; says which file and which key."""


@cache
def pack(code: str) -> Pack:
    """Return the pack of a state, such as "NC"; KeyError where there is none."""
    path = FIXTURES / "packs" / f"{code.lower()}.yaml"
    if not code.isalpha() or not path.is_file():
        raise KeyError(code)
    return last_good(code, path)


def last_good(code: str, path: Path) -> Pack:
    """Return a pack; where its file is broken, the last good one stays in force."""
    return kept.last_good(f"pack-{code.lower()}", path, read)


def codes() -> list[str]:
    """Return the states that have a pack."""
    return sorted(p.stem.upper() for p in (FIXTURES / "packs").glob("*.yaml"))


def readable() -> list[str]:
    """Return the states whose pack can be read; a broken file leaves its state out."""
    found = []
    for code in codes():
        try:
            pack(code)
        except PackError:
            continue
        found.append(code)
    return found


class Begun(Strict, frozen=True, kw_only=True):
    """States of which only some lines are known yet."""

    states: tuple[Asks, ...]


@cache
def begun() -> dict[str, Asks]:
    """Return the states whose packs are only begun, by their two letters."""
    path = FIXTURES / "packs" / "begun" / "states.yaml"
    data = yaml.load(path.read_bytes(), Loader=yaml.CSafeLoader)
    return {one.state: one for one in msgspec.convert(data, Begun).states}


def asks(state: str) -> Asks:
    """Return what is known of a state: its pack, else what is begun of one.

    KeyError where nothing is known.
    """
    return pack(state) if state in codes() else begun()[state]


def read(path: Path) -> Pack:
    """Read one file. Raises PackError with the file's name and the key at fault."""
    data = _parsed(path)
    try:
        found = msgspec.convert(data, Pack)
    except msgspec.ValidationError as error:
        where = f"{path.name}, line {line_of(path.read_text(), str(error))}"
        raise PackError(f"{where}: {error}{_named(data, str(error))}") from error
    for problem in problems(found):
        line = line_of_id(path.read_text(), problem)
        raise PackError(f"{path.name}, line {line}: {problem}")
    return found


def _parsed(path: Path) -> object:
    try:
        return yaml.load(path.read_bytes(), Loader=yaml.CSafeLoader)
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 0
        raise PackError(f"{path.name}, line {line}: {error.problem}") from error
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        raise PackError(f"{path.name}, line 1: is not YAML") from error


def _named(data: object, message: str) -> str:
    """Say which duty `$.duties[7]` is: a reader looks for the id, not the number."""
    if "$.duties[" not in message or not isinstance(data, Mapping):
        return ""
    place = int(message.split("$.duties[")[1].split("]", maxsplit=1)[0])
    return f" ({data['duties'][place].get('id', 'a duty without id')})"


def problems(found: Pack) -> list[str]:
    """Return what the types cannot say: ids twice, bindings that contradict."""
    ids = [d.id for d in found.duties] + [e.id for e in found.exclusions]
    twice = sorted({i for i in ids if ids.count(i) > 1})
    lines = [f"{i}: this id stands there twice" for i in twice]
    for duty in found.duties:
        lines.extend(f"{duty.id}: {text}" for text in _contradictions(duty))
    notices = {n.id for n in found.notices}
    slot = found.summary.notice if found.summary else ""
    if slot and slot not in notices:
        lines.append(f"summary: no notice is called {slot}")
    return lines


def _contradictions(duty: Duty) -> list[str]:
    found = []
    if duty.exception and duty.duty != "inspect" and not duty.condition:
        found.append("only an inspect duty or a condition may close by exception")
    if duty.any_year and not duty.as_deficient:
        found.append("only what is reported as deficient counts whatever the year")
    if not duty.held_by and not duty.stops:
        found.append("belongs to no stop and nothing else holds it")
    if duty.count and duty.per != "stop":
        found.append("a count is kept stop by stop")
    if duty.count and duty.exception:
        found.append("a count cannot close by exception")
    found.extend(
        f"the sentence needs {name}, which may be empty"
        for line in duty.answered_by
        for _, name, _, _ in Formatter().parse(line.text)
        if name and name not in (*line.needs, "name")
    )
    return found


class Words(Strict, frozen=True, kw_only=True):
    """How recorded values, ledger states and systems read in a sentence."""

    schema: int
    values: dict[str, str]
    states: dict[str, str]
    systems: dict[str, str]


@cache
def _words() -> Words:
    path = FIXTURES / "words" / "values.yaml"
    return msgspec.convert(yaml.load(path.read_bytes(), yaml.CSafeLoader), Words)


def words_for_values() -> dict[str, str]:
    """Return how recorded values read in a sentence."""
    return _words().values


def words_for_states() -> dict[str, str]:
    """Return how a ledger state reads."""
    return _words().states


def words_for_systems() -> dict[str, str]:
    """Return how a system is called."""
    return _words().systems
