"""Walks every firm's chains, releases and files: manage.py verify_chains."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from reports.services.evidence import anchors, everything


class Command(BaseCommand):
    help = "Verify chains, released rows and files of every firm, against kept anchors."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--anchors", type=Path, help="lines of `manage.py anchors`")

    def handle(self, *args: Any, **options: Any) -> None:
        path = options["anchors"]
        try:
            kept = anchors.read(path.read_text()) if path else []
        except (OSError, anchors.BadAnchor) as error:
            raise CommandError(f"The anchors cannot be read: {error}") from error
        if not kept:
            self.stdout.write("Without anchors a chain cut at its end looks whole.")
        bad = 0
        for slug, found in everything.faults(kept):
            bad += len(found)
            self.stdout.write(f"{slug}: {len(found) or 'nothing'} wrong")
            for fault in found:
                self.stdout.write(f"  {fault}")
        if bad:
            raise CommandError(f"{bad} not as released.")
