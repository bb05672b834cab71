"""Loads rules, tables and timelines from fixtures; refuses what it does not know."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any

from findings.rules import schema, yamlfile
from findings.rules.era import Dates, Line
from findings.rules.rule import PROVENANCE, Rule
from findings.rules.ruling import Ruling
from findings.rules.schema import Reader
from findings.rules.tables import Tables
from findings.rules.yamlfile import RuleFileError

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"


@dataclass(frozen=True, eq=False)
class Ruleset:
    """Every rule and table, with a version taken from the files' bytes.

    `levels`, `off` and `broken` are what a firm's rulings made of it: other levels
    by rule, rules switched off, and rules of its own that cannot be read any more,
    each with where.
    """

    rules: dict[str, Rule]
    tables: Tables
    version: str
    levels: Mapping[str, Ruling] = field(default_factory=dict)
    off: Mapping[str, Rule] = field(default_factory=dict)
    broken: Mapping[str, str] = field(default_factory=dict)

    def version_of(self, rule: Rule) -> str:
        """Give what a proposal is frozen with, such as "3+firm2"."""
        ruling = self.levels.get(rule.id)
        return f"{rule.version}+firm{ruling.number}" if ruling else str(rule.version)


@dataclass(frozen=True)
class Timeline:
    """When which edition took effect in a place, each line with its source."""

    place: str
    lines: tuple[Line, ...]
    known_until: str = ""
    amendments: dict[str, str] | None = None

    def dates(self, dates: Dates, topic: str) -> Dates:
        """Give the dates of an item, with what this place says of the topic."""
        amendment = (self.amendments or {}).get(topic)
        return replace(
            dates,
            adoption=self.lines,
            known_until=self.known_until,
            amendment=amendment,
            place=self.place,
        )


@cache
def ruleset(root: Path = FIXTURES / "rules") -> Ruleset:
    """Give the rule set under a folder. Raises RuleFileError."""
    digest = hashlib.sha256()
    table_files = sorted((root / "tables").glob("*.yaml"))
    rule_files = sorted(
        path for path in root.glob("*/*.yaml") if path.parent.name != "tables"
    )
    for path in (*table_files, *rule_files):
        digest.update(path.name.encode() + b"\0" + path.read_bytes())
    tables: dict[str, Any] = {}
    for path in table_files:
        _add(path, "tables", None, schema.table, tables)
    looked = Tables(tables)
    rules: dict[str, Rule] = {}
    for path in rule_files:
        _add(path, "rules", looked, schema.rule, rules)
    return Ruleset(rules, looked, digest.hexdigest()[:16])


def _add(
    path: Path, key: str, tables: Tables | None, work: Any, into: dict[str, Any]
) -> None:
    reader = Reader(_short(path), tables)
    where = reader.known_keys(yamlfile.read(path), ("schema", key), "file")
    if where.get("schema") != 1:
        raise reader.fail(where, "schema", "must be 1")
    for raw in where.get(key) or []:
        found = work(reader, raw)
        if found.id in into:
            raise reader.fail(raw, "id", f"{found.id} is there twice")
        into[found.id] = found


def _short(path: Path) -> str:
    return (
        str(path.relative_to(FIXTURES.parent))
        if path.is_relative_to(FIXTURES.parent)
        else str(path)
    )


def timeline(place: str, root: Path = FIXTURES / "timelines") -> Timeline | None:
    """Give the sourced timeline of a state such as "NC", or None when there is none."""
    path = root / f"{place.lower()}.yaml"
    if not place.isalnum() or not path.exists():
        return None
    reader = Reader(_short(path), None)
    allowed = ("schema", "place", "name", "known_until", "lines", "amendments")
    where = reader.known_keys(yamlfile.read(path), allowed, "file")
    lines = tuple(_line(reader, raw) for raw in where.get("lines", []))
    return Timeline(
        place=reader.word(where, "place"),
        lines=lines,
        known_until=reader.word(where, "known_until"),
        amendments=dict(where.get("amendments") or {}),
    )


def _line(reader: Reader, raw: Any) -> Line:
    allowed = ("edition", "effective", "source", "provenance", "note")
    where = reader.known_keys(raw, allowed, "lines")
    if not where.get("source"):
        raise RuleFileError(reader.path, where.line, "source", "is missing")
    reader.word(where, "provenance", PROVENANCE)
    return Line(int(where["edition"]), str(where["effective"]), where["source"])
