"""A rule set as one firm uses it: rules off, rules at another level, rules its own."""

import hashlib
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache

from findings.rules import own
from findings.rules.bindings import View
from findings.rules.loader import Ruleset
from findings.rules.own import Kinds
from findings.rules.rule import Rule
from findings.rules.ruling import LEVEL, OFF, OWN, Ruling
from findings.rules.yamlfile import RuleFileError

USED = frozenset({"use", "change"})


def of_firm(ruleset: Ruleset, rulings: Iterable[Ruling], kinds: Kinds) -> Ruleset:
    """Give the rule set under a firm's rulings, the same object for the same ones.

    A rule of the firm's own that cannot be read any more is listed with where; the
    others stay in force.
    """
    ordered = sorted(rulings, key=lambda one: (one.rule, one.number))
    return _of_firm(ruleset, tuple(ordered), kinds) if ordered else ruleset


def in_play(ruleset: Ruleset, view: View) -> Ruleset:
    """Add the rules that are off and that this visit's inspector used before."""
    used = {
        str(view.get(one, "rule"))
        for one in view.all("decision")
        if view.get(one, "choice") in USED
    }
    again = frozenset(used & ruleset.off.keys())
    return _again(ruleset, again) if again else ruleset


# The same object each time: what is kept of a visit is kept under its rules.
@lru_cache(maxsize=256)
def _again(ruleset: Ruleset, names: frozenset[str]) -> Ruleset:
    again = {name: ruleset.off[name] for name in names}
    return replace(ruleset, rules={**ruleset.rules, **again})


# What was kept of outcomes is found by the rule's identity, so rules are read once.
@lru_cache(maxsize=256)
def _of_firm(ruleset: Ruleset, rulings: tuple[Ruling, ...], kinds: Kinds) -> Ruleset:
    latest = {one.rule: one for one in rulings}
    off = {name: one for name, one in latest.items() if one.kind == OFF}
    rules, broken = dict(ruleset.rules), {}
    for one in {one.rule: one for one in rulings if one.kind == OWN}.values():
        try:
            rules[one.rule] = _read(ruleset, one, kinds)
        except RuleFileError as error:
            broken[one.rule] = str(error)
    return replace(
        ruleset,
        rules={name: rule for name, rule in rules.items() if name not in off},
        version=f"{ruleset.version}-{_digest(rulings)}",
        levels={name: one for name, one in latest.items() if one.kind == LEVEL},
        off={name: rules[name] for name in off if name in rules},
        broken=broken,
    )


@lru_cache(maxsize=1024)
def _read(ruleset: Ruleset, one: Ruling, kinds: Kinds) -> Rule:
    return own.read(one.definition, one.rule, one.number, ruleset.tables, kinds)


def _digest(rulings: tuple[Ruling, ...]) -> str:
    return hashlib.sha256(repr(rulings).encode()).hexdigest()[:8]
