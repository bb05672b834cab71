"""Background work of inspections: load, one call."""

from typing import Any

from django.utils import timezone

from firm.actor import Actor
from firm.jobs import work
from inspections.services import uploads


@work("inspections.drop_expired_uploads", queue="photos")
def drop_expired_uploads(*, actor: Actor, **_later: Any) -> None:
    uploads.drop_expired(actor=actor, now=timezone.now())
