"""Loads the demo's invented firms so that people can sign in: manage.py load_demo."""

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand
from django.utils import timezone

from reports.demo import firms, password


class Command(BaseCommand):
    help = "Load the demo's invented firms; a second run changes nothing."

    def handle(self, *args: Any, **options: Any) -> None:
        people = firms.load(settings.VAR_DIR, timezone.localdate())
        self.stdout.write(f"Password of everybody: {password.kept(settings.VAR_DIR)}")
        for person in people:
            roles = ", ".join(role.lower() for role in person.roles)
            self.stdout.write(f"  {person.email:34} {person.name} ({roles})")
