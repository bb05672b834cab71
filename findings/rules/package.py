"""The rules as one package for the device: arrays, tables and nothing that runs."""

from collections.abc import Mapping
from typing import Any

from findings.rules.binds import Binds
from findings.rules.loader import Ruleset
from findings.rules.rule import Ask, Contradiction, Edition, Expression, Row, Rule
from findings.rules.ruling import Level, Ruling, leveled
from findings.rules.tables import Table

SCHEMA = 1


def package(ruleset: Ruleset) -> dict[str, Any]:
    """Give {schema, version, tables, rules}; only JSON values, numbers exact."""
    return {
        "schema": SCHEMA,
        "version": ruleset.version,
        "tables": {name: _table(one) for name, one in ruleset.tables.by_id.items()},
        "rules": {
            name: _rule(one, ruleset.levels.get(name))
            for name, one in ruleset.rules.items()
        },
    }


def _table(table: Table) -> dict[str, Any]:
    rows = [dict(row) for row in table.rows]
    return {"keys": list(table.keys), "match": table.match, "rows": rows}


def _rule(rule: Rule, ruling: Ruling | None = None) -> dict[str, Any]:
    return {
        "id": rule.id,
        "version": rule.version,
        "title": rule.title,
        "system": rule.system,
        "code": rule.code,
        "provenance": rule.provenance,
        "inputs": [
            {
                "name": spec.name,
                "kind": spec.kind,
                "unit": spec.unit,
                "label": spec.label,
                "choices": list(spec.choices),
                "low": spec.low,
                "high": spec.high,
            }
            for spec in rule.inputs.values()
        ],
        "dates": rule.dates,
        "derive": {n: [by, list(sources)] for n, (by, sources) in rule.derive.items()},
        "let": [[name, one.tree] for name, one in rule.let.items()],
        "gives": list(rule.gives),
        "asks": [_ask(ask) for ask in rule.asks],
        "contradictions": [_contradiction(one) for one in rule.contradictions],
        "rows": [_row(row, leveled(row, ruling)) for row in rule.rows],
        "history": [_edition(line) for line in rule.history],
        "binds": _binds(rule.binds),
    }


def _tree(expression: Expression | None) -> Any:
    return None if expression is None else expression.tree


def _ask(ask: Ask) -> dict[str, Any]:
    return {"when": ask.when.tree, "field": ask.field, "say": ask.say}


def _contradiction(one: Contradiction) -> dict[str, Any]:
    return {"when": one.when.tree, "between": list(one.between), "say": one.say}


def _row(row: Row, level: Level) -> dict[str, Any]:
    return {
        "when": row.when.tree,
        "outcome": row.outcome,
        "reason": row.reason,
        "dated": row.dated,
        "by_history": row.by_history,
        "first": _tree(row.first),
        "effective": _tree(row.effective),
        "doubt": _tree(row.doubt),
        "outcome_when": row.outcome_when,
        "consequence": level.consequence,
        "timing": level.timing,
        "passage": row.passage,
        "margin": row.margin,
    }


def _edition(line: Edition) -> dict[str, Any]:
    return {
        "year": line.year,
        "needs": _tree(line.needs),
        "effective": line.effective,
        "until": line.until,
    }


def _binds(binds: Binds | None) -> Mapping[str, Any] | None:
    if binds is None:
        return None
    return {
        "record": binds.record,
        "asks": sorted(binds.asks),
        "where": {name: list(values) for name, values in binds.where.items()},
        "inputs": {
            name: {
                "from": source.kind,
                "name": source.name,
                "words": None if source.words is None else dict(source.words),
            }
            for name, source in binds.inputs.items()
        },
    }
