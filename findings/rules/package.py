"""The rules as one package for the device: arrays, tables and nothing that runs."""

from collections.abc import Mapping
from typing import Any

from findings.rules.binds import Binds
from findings.rules.loader import Ruleset
from findings.rules.rule import Ask, Contradiction, Edition, Expression, Row, Rule
from findings.rules.ruling import Level, Ruling, leveled
from findings.rules.tables import Table

SCHEMA = 2  # 2: what proposals of the whole house are made of


def package(ruleset: Ruleset) -> dict[str, Any]:
    """Give {schema, version, tables, rules, off}; only JSON values, numbers exact.

    `off` are rules that the firm switched off: what an inspector used of one before
    is still shown.
    """
    return {
        "schema": SCHEMA,
        "version": ruleset.version,
        "tables": {name: _table(one) for name, one in ruleset.tables.by_id.items()},
        "rules": _rules(ruleset, ruleset.rules),
        "off": _rules(ruleset, ruleset.off),
    }


def _rules(ruleset: Ruleset, rules: Mapping[str, Rule]) -> dict[str, Any]:
    return {
        name: _rule(one, ruleset.levels.get(name))
        | {"stamp": ruleset.version_of(one), "ruling": _ruling(ruleset, name)}
        for name, one in rules.items()
    }


def _ruling(ruleset: Ruleset, name: str) -> dict[str, str] | None:
    ruling = ruleset.levels.get(name)
    if ruling is None:
        return None
    return {"said": ruling.said, "traced": ruling.traced}


def _table(table: Table) -> dict[str, Any]:
    rows = [dict(row) for row in table.rows]
    return {"keys": list(table.keys), "match": table.match, "rows": rows}


def _rule(rule: Rule, ruling: Ruling | None = None) -> dict[str, Any]:
    return {
        "id": rule.id,
        "version": rule.version,
        "title": rule.title,
        "system": rule.system,
        "topic": rule.topic,
        "source": rule.source,
        "cautions": list(rule.cautions),
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
        "trade": level.trade,
        # By the rule's own row: a firm's level never hides that it is a hazard.
        "could_hurt": row.consequence == "could_hurt",
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
        "item": binds.item,
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
