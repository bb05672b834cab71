"""The bundle of evidence, for who may release."""

from uuid import UUID

from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_POST

from firm.http import MemberRequest, member_view
from inspections.access import visit_to_read
from reports.services.evidence import bundle


@require_POST
@member_view
def release_evidence(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    packed = bundle.build(actor=request.actor, visit=visit, now=timezone.now())
    response = HttpResponse(packed, content_type="application/zip")
    name = f"{visit.number}-evidence.zip"
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    response.headers["Content-Security-Policy"] = "sandbox; default-src 'none'"
    return response
