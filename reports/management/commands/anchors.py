"""Writes where the chains stand, to be kept outside: manage.py anchors."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from reports.services.evidence import anchors, everything


class Command(BaseCommand):
    help = "Print the heads of every firm's chains; keep them away from this machine."

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write(anchors.written(everything.heads(timezone.now())), ending="")
