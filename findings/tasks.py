"""Background work of findings: load, one call."""

from typing import Any

from findings.services import renditions
from firm.actor import Actor
from firm.jobs import work


@work("findings.make_renditions", queue="photos")
def make_renditions(*, actor: Actor, photo_id: str, **_later: Any) -> None:
    renditions.make(actor=actor, photo_id=photo_id)
