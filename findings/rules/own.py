"""Reads a rule that a firm wrote itself: the same schema, and nothing that swells."""

from typing import Any, Final, TypeAlias

import yaml

from findings.rules import engine, schema, yamlfile
from findings.rules.binds import FROM_RECORD, FROM_STOP
from findings.rules.inputs import BadInput
from findings.rules.rule import Rule
from findings.rules.schema import Reader
from findings.rules.tables import Tables
from findings.rules.yamlfile import Mapping, RuleFileError

PREFIX: Final = "own."
PATH: Final = "the firm's rule"
DEEPEST: Final = 12
# What a text can hold that no check of ours names more exactly.
BAD: Final = (ValueError, TypeError, KeyError, AttributeError, RecursionError)


# How a firm writes outcomes whose names in case files are never shown to people.
SAID: Final = {
    "small_fix": "maintenance",
    "watch": "monitor",
    "told": "informational",
    "trade_looks": "needs_specialist",
    "trade_looks_at_once": "needs_specialist_urgent",
}
# What a visit may hold: each kind of record with its fields.
Kinds: TypeAlias = frozenset[tuple[str, frozenset[str]]]


def read(text: str, rule_id: str, number: int, tables: Tables, kinds: Kinds) -> Rule:
    """Give the rule written in `text`. Raises RuleFileError with line and key.

    The firm gives the rule its name and each writing its number, so that neither
    stands in the text.
    """
    _plain(text)
    raw = yamlfile.parse(text, PATH)
    reader = Reader(PATH, tables)
    if not isinstance(raw, Mapping):
        raise RuleFileError(PATH, 1, "rule", "is not a set of named values")
    for key in ("id", "version"):
        if key in raw:
            raise reader.fail(raw, key, "is given by the book; leave it out")
    raw["id"], raw["version"] = rule_id, number
    _named(raw.get("rows"))
    rule = _built(reader, raw)
    _spoken(reader, raw, rule)
    _dated(reader, raw, rule)
    _found(reader, raw, rule, dict(kinds))
    return rule


def _named(rows: Any) -> None:
    """Put the names of case files in the place of those that a firm writes."""
    for row in rows if isinstance(rows, list) else ():
        if isinstance(row, Mapping) and isinstance(row.get("outcome"), str):
            row["outcome"] = SAID.get(row["outcome"], row["outcome"])


def _built(reader: Reader, raw: Mapping) -> Rule:
    try:
        rule = schema.rule(reader, raw)
        # Run once knowing nothing: what cannot run at all is refused here.
        engine.run(rule, {})
    except (RuleFileError, BadInput):
        raise
    except BAD as error:
        said = f"cannot be read: {error}"[:200]
        raise RuleFileError(PATH, raw.line, "rule", said) from error
    return rule


def _spoken(reader: Reader, raw: Mapping, rule: Rule) -> None:
    """Refuse a rule that could never say anything on a visit."""
    if rule.binds is None:
        raise reader.fail(raw, "binds", "is missing: what is read from the visit")
    for place, row in enumerate(rule.rows):
        where: Any = raw["rows"][place]
        accuses = row.dated or row.outcome not in engine.QUIET
        for key in ("consequence", "timing", "trade", "reason"):
            if accuses and not getattr(row, key):
                raise reader.fail(where, key, "is missing where something is wrong")
    if not rule.rows:
        raise reader.fail(raw, "rows", "holds no row")


def _dated(reader: Reader, raw: Mapping, rule: Rule) -> None:
    """Refuse a date that is no year and no day."""
    for name in rule.dates:
        if rule.inputs[name].kind not in ("year", "date"):
            raise reader.fail(raw["dates"], name, "is neither a year nor a date")


def _found(
    reader: Reader, raw: Mapping, rule: Rule, kinds: dict[str, frozenset[str]]
) -> None:
    """Refuse a rule that reads what no visit holds."""
    binds, where = rule.binds, raw["binds"]
    if binds is None:
        return
    if binds.record not in kinds:
        said = f"no visit holds the kind {binds.record!r}"
        raise reader.fail(where, "record", said)
    for name in binds.where:
        if name not in kinds[binds.record]:
            said = f"{binds.record} has no field {name!r}"
            raise reader.fail(where["where"], name, said)
    for name, source in binds.inputs.items():
        record = {FROM_RECORD: binds.record, FROM_STOP: "stop"}.get(source.kind)
        if record and source.name not in kinds[record]:
            said = f"{record} has no field {source.name!r}"
            raise reader.fail(where["inputs"], name, said)


def _plain(text: str) -> None:
    """Refuse references and deep nesting: a short text must stay a small thing."""
    depth = 0
    try:
        for event in yaml.parse(text, yaml.CSafeLoader):
            line = event.start_mark.line + 1 if event.start_mark else 1
            if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
                raise RuleFileError(PATH, line, "rule", "& and * are not read here")
            if isinstance(event, yaml.CollectionStartEvent):
                depth += 1
            elif isinstance(event, yaml.CollectionEndEvent):
                depth -= 1
            if depth > DEEPEST:
                raise RuleFileError(PATH, line, "rule", "is nested too deeply")
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 1
        raise RuleFileError(
            PATH, line, "rule", error.problem or "is not YAML"
        ) from error
    except yaml.YAMLError as error:
        raise RuleFileError(PATH, 1, "rule", str(error)[:200]) from error
