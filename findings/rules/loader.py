"""Loads rules, tables and timelines from fixtures; refuses what it does not know."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from findings import kept
from findings.rules import schema, yamlfile
from findings.rules.rule import Rule
from findings.rules.ruling import Ruling
from findings.rules.schema import Reader
from findings.rules.tables import Tables
from findings.rules.timelines import Timeline, timeline
from findings.rules.yamlfile import FIXTURES, named

__all__ = ["FIXTURES", "Ruleset", "Timeline", "read", "ruleset", "timeline"]


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


@cache
def ruleset() -> Ruleset:
    """Give the rule set in force: the last good one where a file of it is broken."""
    return kept.last_good("rules", FIXTURES / "rules", read)


def read(root: Path) -> Ruleset:
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
    reader = Reader(named(path), tables)
    where = reader.known_keys(yamlfile.read(path), ("schema", key), "file")
    if where.get("schema") != 1:
        raise reader.fail(where, "schema", "must be 1")
    listed = where.get(key) or []
    entries: list[Any] = listed if isinstance(listed, list) else [None]
    for raw in entries:
        found = _one(reader, where, key, raw, work)
        if found.id in into:
            raise reader.fail(raw, "id", f"{found.id} is there twice")
        into[found.id] = found


def _one(reader: Reader, where: yamlfile.Mapping, key: str, raw: Any, work: Any) -> Any:
    if not isinstance(raw, yamlfile.Mapping):
        raise reader.fail(where, key, "is not a list of named values")
    try:
        return work(reader, raw)
    except yamlfile.RuleFileError:
        raise
    except (TypeError, ValueError, KeyError, AttributeError) as error:
        # Whatever form was not thought of is still refused by name.
        told = f"{raw.get('id')} cannot be read: {error}"
        raise reader.fail(raw, "id", told) from error
