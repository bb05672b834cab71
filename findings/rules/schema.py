"""The strict reading of rules and tables from their files."""

from collections.abc import Callable, Iterable
from typing import Any

from findings.rules import exact, inputs, reading, schema_binds
from findings.rules.derived import DERIVED
from findings.rules.evaluate import BadExpression, compile_expression
from findings.rules.inputs import InputSpec
from findings.rules.rule import (
    CONSEQUENCES,
    DATE_ROLES,
    OTHER_ROLES,
    OUTCOMES,
    PROVENANCE,
    TIMINGS,
    TRADES,
    Ask,
    Contradiction,
    Edition,
    Expression,
    Row,
    Rule,
)
from findings.rules.tables import Table
from findings.rules.yamlfile import Mapping, RuleFileError


class Reader:
    """Reads one file's mappings; every refusal names file, line and key."""

    def __init__(self, path: str, tables: Any) -> None:
        self.path, self.tables = path, tables

    def fail(self, where: Mapping, key: str, message: str) -> RuleFileError:
        return RuleFileError(self.path, where.at(key), key, message)

    def known_keys(
        self,
        where: Any,
        allowed: Iterable[str],
        key: str,
        inside: Mapping | None = None,
    ) -> Mapping:
        if not isinstance(where, Mapping):
            line = inside.at(key) if inside is not None else 1
            raise RuleFileError(self.path, line, key, "is not a set of named values")
        for name in where:
            if name not in set(allowed):
                raise self.fail(where, name, "is not a key known here")
        return where

    def word(
        self, where: Mapping, key: str, among: frozenset[str] | None = None
    ) -> str:
        value = where.get(key, "")
        if not isinstance(value, str) or (among is not None and value not in among):
            listed = f"; one of {', '.join(sorted(among))}" if among else ""
            raise self.fail(where, key, f"{value!r} cannot stand here{listed}")
        return value

    def words(self, where: Mapping, key: str) -> tuple[str, ...]:
        value = where.get(key, [])
        if not isinstance(value, list) or not all(isinstance(x, str) for x in value):
            raise self.fail(where, key, "is not a list of texts")
        return tuple(value)

    def whole(self, where: Mapping, key: str) -> int:
        value = where.get(key)
        if isinstance(value, bool) or not isinstance(value, int):
            raise self.fail(where, key, f"{value!r} is not a whole number")
        return value

    def plain(self, where: Mapping, key: str) -> tuple[Any, ...]:
        value = where.get(key, [])
        if not isinstance(value, list) or any(
            isinstance(one, list | dict) for one in value
        ):
            raise self.fail(where, key, "is not a list of plain values")
        return tuple(value)

    def number(self, where: Mapping, key: str) -> Any:
        value = where.get(key)
        if value is not None and exact.parse(value) is None:
            raise self.fail(where, key, f"{value!r} is not a number")
        return value

    def expression(self, where: Mapping, key: str) -> Expression:
        try:
            tree = reading.read(where[key])
            return Expression(tree, compile_expression(tree))
        except (BadExpression, KeyError) as error:
            raise self.fail(where, key, str(error)) from error
        except (RecursionError, MemoryError, ValueError) as error:
            raise self.fail(where, key, "is too long to read") from error

    def optional(self, where: Mapping, key: str) -> Expression | None:
        return self.expression(where, key) if key in where else None


RULE_KEYS = [
    "id",
    "version",
    "system",
    "topic",
    "title",
    "inputs",
    "dates",
    "derive",
    "let",
    "gives",
    "asks",
    "contradictions",
    "rows",
    "history",
    "source",
    "provenance",
    "cautions",
    "never_conclude",
    "settled",
    "presumes",
    "code",
    "binds",
]
ROW_KEYS = [
    "when",
    "outcome",
    "reason",
    "calendar",
    "effective",
    "doubt",
    "outcome_when",
    "consequence",
    "timing",
    "trade",
    "passage",
    "margin",
]
INPUT_KEYS = ["kind", "unit", "label", "choices", "low", "high"]
EDITION_KEYS = ["year", "text", "needs", "effective", "sure", "until"]


def rule(reader: Reader, raw: Any) -> Rule:
    """One rule from its mapping. Raises RuleFileError."""
    where = reader.known_keys(raw, RULE_KEYS, "rule")
    for key in ("id", "version", "system", "title", "rows", "source", "provenance"):
        if key not in where:
            raise reader.fail(where, key, "is missing")
    specs = _inputs(reader, where)
    raw_let = where.get("let", Mapping())
    let_where = reader.known_keys(raw_let, raw_let, "let", where)
    let = {name: reader.expression(let_where, name) for name in let_where}
    status, seen_in, unsure = _provenance(reader, where)
    built = Rule(
        id=reader.word(where, "id"),
        version=reader.whole(where, "version"),
        system=reader.word(where, "system"),
        topic=reader.word(where, "topic") or reader.word(where, "id"),
        title=reader.word(where, "title"),
        inputs=specs,
        dates=_dates(reader, where, specs),
        derive=_derive(reader, where, specs),
        let=let,
        gives=reader.words(where, "gives") or tuple(let),
        asks=_many(reader, where, "asks", _ask),
        contradictions=_many(reader, where, "contradictions", _contradiction),
        rows=_many(reader, where, "rows", _row),
        history=_many(reader, where, "history", _edition),
        source=reader.word(where, "source"),
        provenance=status,
        seen_in=seen_in,
        unsure=unsure,
        cautions=reader.words(where, "cautions"),
        never_conclude=reader.words(where, "never_conclude"),
        settled=reader.words(where, "settled"),
        presumes=reader.words(where, "presumes"),
        code=reader.word(where, "code") or "nec",
        binds=schema_binds.binds(reader, where, specs),
        tables=reader.tables,
    )
    _check_names(reader, where, built)
    return built


def _many(
    reader: Reader, where: Mapping, key: str, work: Callable[[Reader, Any], Any]
) -> tuple[Any, ...]:
    value = where.get(key, [])
    if not isinstance(value, list):
        raise reader.fail(where, key, "is not a list")
    for item in value:
        reader.known_keys(item, item, key, where)
    return tuple(work(reader, item) for item in value)


def _provenance(reader: Reader, where: Mapping) -> tuple[str, str, str]:
    raw = where["provenance"]
    if isinstance(raw, str):
        return reader.word(where, "provenance", PROVENANCE), "", ""
    allowed = ("status", "where", "unsure")
    inner = reader.known_keys(raw, allowed, "provenance", where)
    status = reader.word(inner, "status", PROVENANCE)
    return status, reader.word(inner, "where"), reader.word(inner, "unsure")


def _inputs(reader: Reader, where: Mapping) -> dict[str, InputSpec]:
    raw = where.get("inputs", Mapping())
    specs = {}
    for name in reader.known_keys(raw, raw, "inputs", where):
        inner = reader.known_keys(raw[name], INPUT_KEYS, name, raw)
        kind = reader.word(inner, "kind", frozenset(inputs.KINDS))
        specs[name] = InputSpec(
            name=name,
            kind=kind,
            unit=reader.word(inner, "unit"),
            label=reader.word(inner, "label") or name.replace("_", " "),
            choices=tuple(str(one) for one in reader.plain(inner, "choices")),
            low=reader.number(inner, "low"),
            high=reader.number(inner, "high"),
        )
    return specs


def _dates(
    reader: Reader, where: Mapping, specs: dict[str, InputSpec]
) -> dict[str, str]:
    raw = where.get("dates", Mapping())
    named = reader.known_keys(raw, raw, "dates", where)
    for name in named:
        reader.word(named, name, DATE_ROLES | OTHER_ROLES)
        if name not in specs:
            raise reader.fail(named, name, "is not an input of this rule")
    return dict(named)


def _derive(
    reader: Reader, where: Mapping, specs: dict[str, InputSpec]
) -> dict[str, tuple[str, tuple[str, ...]]]:
    raw = where.get("derive", Mapping())
    found = {}
    for name in reader.known_keys(raw, raw, "derive", where):
        inner = reader.known_keys(raw[name], ("by", "from"), name, raw)
        by = reader.word(inner, "by", frozenset(DERIVED))
        sources = reader.words(inner, "from")
        for source in sources:
            if source not in specs:
                raise reader.fail(inner, "from", f"{source!r} is not an input")
        found[name] = (by, sources)
    return found


def _ask(reader: Reader, raw: Any) -> Ask:
    where = reader.known_keys(raw, ("when", "field", "say"), "asks")
    return Ask(
        reader.expression(where, "when"),
        reader.word(where, "field"),
        reader.word(where, "say"),
    )


def _contradiction(reader: Reader, raw: Any) -> Contradiction:
    where = reader.known_keys(raw, ("when", "between", "say"), "contradictions")
    between = reader.words(where, "between")
    if len(between) != TWO:
        raise reader.fail(where, "between", "names two inputs")
    say = reader.word(where, "say")
    if not say:
        raise reader.fail(where, "say", "is missing")
    return Contradiction(reader.expression(where, "when"), between, say)


def _edition(reader: Reader, raw: Any) -> Edition:
    where = reader.known_keys(raw, EDITION_KEYS, "history")
    return Edition(
        year=reader.whole(where, "year"),
        text=reader.word(where, "text"),
        needs=reader.optional(where, "needs"),
        effective=reader.word(where, "effective"),
        sure=where.get("sure", True) is True,
        until=reader.whole(where, "until") if "until" in where else None,
    )


def _row(reader: Reader, raw: Any) -> Row:
    where = reader.known_keys(raw, ROW_KEYS, "rows")
    dated = "calendar" in where
    swaps = where.get("outcome_when")
    if swaps is not None:
        for name in reader.known_keys(swaps, OUTCOMES, "outcome_when"):
            reader.word(swaps, name, OUTCOMES)
    by_history = where.get("calendar") == "history"
    spoken = dated or where.get("outcome") not in ("ok", "undetermined")
    found = Row(
        when=reader.expression(where, "when"),
        outcome="" if dated else reader.word(where, "outcome", OUTCOMES),
        reason=reader.word(where, "reason"),
        by_history=by_history,
        first=None if by_history or not dated else reader.expression(where, "calendar"),
        effective=reader.optional(where, "effective"),
        doubt=reader.optional(where, "doubt"),
        outcome_when=dict(swaps) if swaps else None,
        consequence=_level(reader, where, "consequence", CONSEQUENCES),
        timing=_level(reader, where, "timing", TIMINGS),
        trade=_level(reader, where, "trade", TRADES),
        passage=reader.word(where, "passage"),
        margin=reader.word(where, "margin"),
    )
    if spoken and found.passage and not (found.consequence and found.timing):
        raise reader.fail(where, "passage", "needs a consequence and a timing beside")
    return found


def _level(reader: Reader, where: Mapping, key: str, among: frozenset[str]) -> str:
    return reader.word(where, key, among) if key in where else ""


TWO = 2
BUILT_IN = frozenset({"governing_year", "edition_in_force"})


def _check_names(reader: Reader, where: Mapping, rule: Rule) -> None:
    """Refuse a condition that reads a name nobody gives."""
    known = set(rule.inputs) | set(rule.let) | set(rule.derive) | BUILT_IN
    trees = [("let", e.tree) for e in rule.let.values()]
    trees += [("rows", row.when.tree) for row in rule.rows]
    trees += [("rows", row.first.tree) for row in rule.rows if row.first]
    trees += [("asks", ask.when.tree) for ask in rule.asks]
    trees += [("contradictions", one.when.tree) for one in rule.contradictions]
    trees += [("history", e.needs.tree) for e in rule.history if e.needs]
    for key, tree in trees:
        for name in sorted(reading.fields(tree) - known):
            raise reader.fail(
                where, key, f"{rule.id} reads {name!r}, which nobody gives"
            )
    for one in rule.contradictions:
        for name in one.between:
            if name not in rule.inputs:
                raise reader.fail(where, "contradictions", f"{name!r} is not an input")
    for name in rule.gives:
        if name not in known:
            raise reader.fail(where, "gives", f"{name!r} is neither input nor let")


def table(reader: Reader, raw: Any) -> Table:
    """One look-up table from its mapping. Raises RuleFileError."""
    allowed = [
        "id",
        "title",
        "keys",
        "match",
        "rows",
        "source",
        "provenance",
        "note",
        "columns",
    ]
    where = reader.known_keys(raw, allowed, "table")
    for key in ("id", "keys", "rows", "source", "provenance"):
        if key not in where:
            raise reader.fail(where, key, "is missing")
    columns = reader.plain(where, "columns")
    listed = where["rows"] if isinstance(where["rows"], list) else [None]
    rows = [_table_row(reader, where, columns, row) for row in listed]
    match = where.get("match", "exact")
    if match not in ("exact", "at_least", "at_most"):
        raise reader.fail(where, "match", f"{match!r} is no way to match")
    return Table(
        id=reader.word(where, "id"),
        title=reader.word(where, "title"),
        keys=reader.words(where, "keys"),
        match=match,
        rows=tuple(rows),
        source=reader.word(where, "source"),
        provenance=reader.word(where, "provenance", PROVENANCE),
    )


def _table_row(
    reader: Reader, where: Mapping, columns: tuple[Any, ...], row: Any
) -> dict[str, Any]:
    if isinstance(row, list) and len(row) == len(columns):
        return dict(zip(columns, row, strict=True))
    if not isinstance(row, Mapping):
        raise reader.fail(where, "rows", f"{row!r} does not fit the columns")
    return dict(row)
