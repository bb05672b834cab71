"""The newest released visit of a firm."""

from __future__ import annotations

from uuid import UUID

from firm.models import Firm
from firm.tenancy import bound
from reports.models import Release


def newest_released(firm_slug: str) -> UUID | None:
    """Return the visit whose report was released last; None before the first."""
    firm = Firm.objects.filter(slug=firm_slug).first()
    if firm is None:
        return None
    with bound(firm.pk):
        found: UUID | None = (
            Release.objects.filter(firm=firm, state=Release.State.RELEASED)
            .order_by("-released_at")
            .values_list("visit_id", flat=True)
            .first()
        )
    return found
