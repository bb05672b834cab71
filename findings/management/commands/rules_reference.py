"""Writes the reference of all rules as Markdown: manage.py rules_reference [PATH]."""

from argparse import ArgumentParser
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from findings.rules import loader
from findings.rules.yamlfile import RuleFileError
from findings.selectors.rule_text import (
    EditionText,
    ExampleText,
    InputText,
    RowText,
    RuleText,
    rule_text,
)

HEAD = """\
# Reference of the rules

Version {version}: {count} rules. Generated from the rule files; the examples were run
when this was written. Nothing here is law: the local code, the authority having
jurisdiction and licensed trades decide. Rows stand in order; the first that holds
counts.
"""


class Command(BaseCommand):
    help = "Write the reference of all rules as Markdown, to a file or to the screen."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("path", nargs="?", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            rules = loader.read(loader.FIXTURES / "rules")
        except RuleFileError as error:
            raise CommandError(str(error)) from error
        texts = sorted(
            (rule_text(rule, rules) for rule in rules.rules.values()),
            key=lambda one: (one.system, one.title.casefold()),
        )
        whole = "\n".join(reference(texts, rules.version))
        if options["path"] is None:
            self.stdout.write(whole)
        else:
            options["path"].write_text(whole, encoding="utf-8")
        wrong = [text.id for text in texts if not all(e.agrees for e in text.examples)]
        if wrong:
            raise CommandError(f"Examples do not agree: {', '.join(wrong)}")


def reference(texts: list[RuleText], version: str) -> Iterator[str]:
    """Give the lines of the whole reference."""
    yield HEAD.format(version=version, count=len(texts))
    for system, rules in groupby(texts, key=lambda one: one.system):
        yield f"## {system[:1].upper()}{system[1:]}\n"
        for text in rules:
            yield from _rule(text)


def _rule(text: RuleText) -> Iterator[str]:
    yield f"### {text.title}\n"
    yield f"`{text.id}`, version {text.version}. {text.reads}\n"
    yield f"Source: {text.source}\n"
    unsure = f"Unsure: {text.unsure}" if text.unsure else ""
    known = filter(None, (text.provenance, text.seen_in, unsure))
    yield f"How it is known: {' '.join(known)}\n"
    yield from _listed("Reads", (_input(one) for one in text.inputs))
    worked = (f"{one.label}: {one.value}" for one in text.worked_out)
    yield from _listed("Worked out first", worked)
    yield from _listed("Asks", iter(text.asks))
    yield from _listed("Says", (_row(one) for one in text.rows), mark="1.")
    yield from _listed("Through the years", (_edition(one) for one in text.editions))
    yield from _listed("Examples", (_example(one) for one in text.examples))
    yield from _listed("Cautions", iter((*text.cautions, *text.never)))


def _listed(title: str, lines: Iterator[str], mark: str = "*") -> Iterator[str]:
    found = list(lines)
    if found:
        yield f"{title}:\n"
        yield from (f"{mark} {line}" for line in found)
        yield ""


def _input(one: InputText) -> str:
    unit = f", in {one.unit}" if one.unit else ""
    more = "; ".join(filter(None, (one.where, one.note)))
    return f"{one.label}{unit} ({one.kind}){f': {more}' if more else ''}"


def _row(one: RowText) -> str:
    return " ".join(filter(None, (one.says, one.level, one.reason)))


def _edition(one: EditionText) -> str:
    doubt = "" if one.sure else " (the year is in doubt)"
    met = f" Met where {one.met}." if one.met else ""
    return f"{one.year}: {one.text}{doubt}.{met}"


def _example(one: ExampleText) -> str:
    given = "; ".join(f"{fact.label} {fact.value}" for fact in one.given)
    values = "; ".join(f"{fact.label} {fact.value}" for fact in one.values)
    parts = [f"{given}: **{one.outcome}**."]
    if values:
        parts.append(f"{values[:1].upper()}{values[1:]}.")
    parts += [one.why, f"({one.source})" if one.source else ""]
    if not one.agrees:
        parts.append(f"Does not agree: {one.expected} was expected.")
    return " ".join(filter(None, parts))
