"""The visit by stop: starting it, before driving off, handing it in."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from findings.forms.walk import StartForm
from findings.selectors.field.leaving import leave_visit_page
from findings.selectors.field.walk import visit_page
from findings.services import review
from findings.services.field import starting
from findings.views.field import standing
from firm.errors import BadInput
from firm.http import MemberRequest, member_view
from inspections.access import contents_to_read, visit_to_record

VISIT = "findings/field/visit.html"


@member_view
def visit_read(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    page = visit_page(standing.read(request, visit_id))
    return render(request, VISIT, {"page": page, "form": StartForm()})


@require_POST
@member_view
def visit_start(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_record(request.actor, visit_id)
    form = StartForm(request.POST)
    if form.is_valid():
        now, counts = timezone.now(), form.counts()
        try:
            starting.start(actor=request.actor, visit=visit, counts=counts, now=now)
        except BadInput as refusal:
            messages.info(request, refusal.message)
        return redirect("visit-read", request.actor.firm.slug, visit_id)
    page = visit_page(standing.read(request, visit_id))
    return render(request, VISIT, {"page": page, "form": form}, status=400)


@member_view
def visit_leave(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    page = leave_visit_page(standing.read(request, visit_id))
    return render(request, "findings/field/leave_visit.html", {"page": page})


@require_POST
@member_view
def visit_hand_in(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = contents_to_read(request.actor, visit_id)
    try:
        review.hand_in(actor=request.actor, visit=visit, now=timezone.now())
    except review.UnableToHandIn as refusal:
        base = standing.read(request, visit_id)
        context = {"page": leave_visit_page(base), "refusal": refusal}
        page = "findings/field/leave_visit.html"
        return render(request, page, context, status=refusal.status)
    messages.success(request, "Handed in. The words are checked next.")
    return redirect("visit-read", request.actor.firm.slug, visit_id)
