"""The notices fixed by law, as the firm has entered them."""

from __future__ import annotations

from findings.models import NoticeText
from firm.actor import Actor


def notices(actor: Actor, pack: str) -> dict[str, NoticeText]:
    """Return the newest text of each notice that the firm has entered."""
    rows = NoticeText.objects.filter(firm=actor.firm, pack=pack).order_by("version")
    return {row.slot: row for row in rows}
