"""Says which release a file is, and whether it is whole: manage.py verify_release."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from reports.services.evidence import examine


class Command(BaseCommand):
    help = "Hold a PDF, page, snapshot or bundle against the records; 1 if it differs."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, nargs="+")

    def handle(self, *args: Any, **options: Any) -> None:
        bad = 0
        for path in options["file"]:
            try:
                content = path.read_bytes()
            except OSError as error:
                raise CommandError(f"{path} cannot be read: {error}") from error
            for verdict in examine.examine(path.name, content):
                bad += not verdict.genuine
                self._say(verdict)
        if bad:
            raise CommandError(f"{bad} not as released.")

    def _say(self, verdict: examine.Verdict) -> None:
        word = "genuine" if verdict.genuine else "NOT AS RELEASED"
        self.stdout.write(f"{verdict.name}: {word}")
        for line in (*verdict.said, *verdict.against):
            self.stdout.write(f"  {line}")
