"""Facts of this installation."""

from uuid import UUID

from firm.models import Installation


def incarnation() -> UUID:
    """Return the id of this life of the database; a restore changes it."""
    return Installation.objects.get().incarnation
