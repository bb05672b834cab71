"""The firm's instruments as a form offers them."""

from __future__ import annotations

from firm.actor import Actor
from firm.models import Instrument


def instrument_choices(actor: Actor) -> list[tuple[str, str]]:
    """Return (id, name) of every instrument of the firm, in one query."""
    rows = Instrument.objects.filter(firm=actor.firm).order_by("name")
    return [(str(row.key), row.name) for row in rows]
