"""Who goes along to a visit, named and taken off by the office."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from firm.errors import BadInput
from firm.http import MemberRequest, member_view
from inspections.access import visit_to_read
from inspections.forms.companions import CompanionForm
from inspections.services import companions


@require_POST
@member_view
def companion_name(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    request.actor.require("visits.book")
    form = CompanionForm(request.POST)
    try:
        member = form.who()
        row = companions.name(actor=request.actor, visit=visit, member_id=member)
    except BadInput as refusal:
        messages.error(request, refusal.message)
    else:
        messages.success(request, f"{row.member.name} goes along.")
    return redirect("booking-read", request.actor.firm.slug, visit.pk)


@require_POST
@member_view
def companion_off(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    request.actor.require("visits.book")
    form = CompanionForm(request.POST)
    try:
        member = form.who()
        companions.take_off(actor=request.actor, visit=visit, member_id=member)
    except BadInput as refusal:
        messages.error(request, refusal.message)
    return redirect("booking-read", request.actor.firm.slug, visit.pk)
