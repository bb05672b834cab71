"""Takes a person out of what a firm holds: manage.py erase_contact."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from firm.actor import Actor
from firm.errors import Refusal
from firm.models import Firm
from firm.tenancy import bound
from inspections.models import Contact
from reports.services import erasure


class Command(BaseCommand):
    help = "Erase a contact of a firm, unless a hold or the law's years keep it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("firm", help="its short name, as in addresses")
        parser.add_argument("contact", help="id of the contact")

    def handle(self, *args: Any, **options: Any) -> None:
        firm = Firm.objects.filter(slug=options["firm"]).first()
        if firm is None:
            raise CommandError("There is no such firm.")
        with bound(firm.pk):
            contact = Contact.objects.filter(firm=firm, pk=options["contact"]).first()
            if contact is None:
                raise CommandError("The firm has no such contact.")
            try:
                issues = erasure.erase(
                    actor=Actor.system(firm), contact=contact, now=timezone.now()
                )
            except Refusal as refusal:
                raise CommandError(
                    " ".join([refusal.message, *refusal.details])
                ) from refusal
        self.stdout.write(f"Erased; {issues} issues stay without names and files.")
