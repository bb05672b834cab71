"""Runs worked cases through the public engine: manage.py check_cases FILE..."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from findings.rules import cases, loader
from findings.rules.yamlfile import RuleFileError


class Command(BaseCommand):
    help = "Run worked cases through the rules and say how many agree."
    # The rules need no database and no settings beyond Django's start.
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("files", nargs="+", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        results: list[cases.Result] = []
        rules = self._rules()
        for path in options["files"]:
            try:
                results += cases.run_file(path, rules)
            except (OSError, RuleFileError) as error:
                raise CommandError(str(error)) from error
        for result in results:
            self._report(result)
        failed = sum(not result.passed for result in results)
        self.stdout.write(f"{len(results) - failed} passed, {failed} failed")
        if failed:
            # The count above is the last line; the status alone says the rest.
            raise SystemExit(1)

    def _rules(self) -> loader.Ruleset:
        """Give the rules as they stand on disk, never an older set that is kept."""
        try:
            return loader.read(loader.FIXTURES / "rules")
        except RuleFileError as error:
            raise CommandError(str(error)) from error

    def _report(self, result: cases.Result) -> None:
        if result.not_given:
            names = ", ".join(result.not_given)
            self.stdout.write(f"{result.id} {result.rule}: not given: {names}")
        if not result.passed:
            self.stdout.write(
                f"{result.id} {result.rule} FAILED\n  expected {result.expected}\n"
                f"  got      {result.got}\n  why      {result.why}"
            )
