"""The inspector's answer to a proposal."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from findings.forms.walk import DecisionForm
from findings.services.field import deciding
from firm.errors import BadInput
from firm.http import MemberRequest, member_view
from inspections.access import visit_to_record
from inspections.log.mutation import as_uuid


@require_POST
@member_view
def proposal_decide(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_record(request.actor, visit_id)
    form = DecisionForm(request.POST)
    if form.is_valid():
        now, answer = timezone.now(), form.answer()
        try:
            deciding.decide(actor=request.actor, visit=visit, answer=answer, now=now)
        except BadInput as refusal:
            messages.error(request, refusal.message)
    else:
        messages.error(request, f"Not saved. {form.first_problem()}")
    return redirect(_origin(request, visit_id))


def _origin(request: MemberRequest, visit_id: UUID) -> str:
    """Return the page that the answer was given on: a stop's, or a panel's."""
    name, _, key = request.GET.get("from", "").rpartition(":")
    firm = request.actor.firm.slug
    if as_uuid(key) is None:
        return reverse("visit-read", args=[firm, visit_id])
    page = "panel-map" if name == "panel" else "stop-read"
    return f"{reverse(page, args=[firm, visit_id, key])}#means"
