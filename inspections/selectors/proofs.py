"""What the firm is told of a visit's being whole on the server."""

from __future__ import annotations

from firm.actor import Actor
from inspections.models import ManifestProof, Visit
from inspections.selectors.words import moment


def proof_words(actor: Actor, visit: Visit) -> str:
    """Say who last found the visit whole, and what has come since; one query."""
    proof = (
        ManifestProof.objects.filter(firm=actor.firm, visit=visit)
        .select_related("by")
        .order_by("-version", "-at")
        .first()
    )
    if proof is None:
        return ""
    said = (
        f"{_count(proof.count, 'entry', 'entries')},"
        f" {_count(proof.photos, 'photo', 'photos')}: all on the server, confirmed by"
        f" {proof.by.name}'s phone, {moment(proof.at, visit.property.time_zone)}."
    )
    since = visit.version - proof.version
    if since <= 0:
        return said
    return f"{said} {_count(since, 'entry has', 'entries have')} come since."


def _count(number: int, one: str, more: str) -> str:
    return f"{number:,} {one if number == 1 else more}"
