"""Takes a person out of what a firm holds: manage.py erase_contact."""

from typing import Any
from uuid import UUID

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from firm.errors import Refusal
from reports.services import erasure


class Command(BaseCommand):
    help = "Erase a contact of a firm, unless a hold or the law's years keep it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("firm", help="its short name, as in addresses")
        parser.add_argument("contact", type=UUID, help="id of the contact")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            issues = erasure.erase_asked(
                options["firm"], options["contact"], timezone.now()
            )
        except Refusal as refusal:
            raise CommandError(
                " ".join([refusal.message, *refusal.details])
            ) from refusal
        self.stdout.write(f"Erased; {issues} issues stay without names and files.")
