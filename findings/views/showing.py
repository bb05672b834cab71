"""A finding's page, as it is read and as it comes back after a refusal."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone

from findings import access
from findings.forms.finding_page import context_of
from findings.selectors.finding_rows import finding_page
from firm.http import MemberRequest


def show_finding(
    request: MemberRequest,
    finding_id: UUID,
    status: int = 200,
    theirs: Any = None,
    **typed: Any,
) -> HttpResponse:
    """Read the finding anew and show it with the forms that were sent."""
    finding = access.finding_to_read(request.actor, finding_id)
    page = finding_page(request.actor, finding, timezone.now(), theirs)
    context = context_of(page, f"finding:{finding.pk}", **typed)
    return render(request, "findings/review/finding.html", context, status=status)
