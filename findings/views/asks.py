"""What the state asks of one visit, and what the office records for it."""

from collections.abc import Callable
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from findings import access
from findings.forms.asks import BecauseForm, InterestForm, PaidForm, ToldForm
from findings.selectors import asks_pages as rows
from findings.services import asks
from firm.errors import Refusal
from firm.http import MemberRequest, member_view
from inspections.access import visit_to_read


@member_view
def visit_asks(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    request.actor.require("visits.see_asks")
    return _page(request, visit.pk)


@require_POST
@member_view
def interest_add(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    form = InterestForm(request.POST)

    def act() -> str:
        asks.record_interest(
            actor=request.actor, visit=visit, now=timezone.now(), **form.cleaned_data
        )
        return "It is recorded."

    return _done(request, visit.pk, form, act, interest_form=form)


@require_POST
@member_view
def interest_told(request: MemberRequest, interest_id: UUID) -> HttpResponse:
    row = access.interest_to_tell(request.actor, interest_id)
    form = ToldForm(request.POST)

    def act() -> str:
        asks.tell_interest(
            actor=request.actor, row=row, now=timezone.now(), **form.cleaned_data
        )
        return "It is recorded how it was told."

    return _done(request, row.visit_id, form, act, told_form=form, told_id=interest_id)


@require_POST
@member_view
def payment_add(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    form = PaidForm(request.POST)

    def act() -> str:
        asks.record_payment(
            actor=request.actor,
            visit=visit,
            paid_on=form.cleaned_data["paid_on"],
            now=timezone.now(),
        )
        return "The payment is recorded."

    return _done(request, visit.pk, form, act, paid_form=form)


@require_POST
@member_view
def hold_place(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    form = BecauseForm(request.POST)

    def act() -> str:
        asks.place_hold(
            actor=request.actor, visit=visit, now=timezone.now(), **form.cleaned_data
        )
        return "The hold stands: nothing of this visit may go."

    return _done(request, visit.pk, form, act, hold_form=form)


@require_POST
@member_view
def hold_end(request: MemberRequest, hold_id: UUID) -> HttpResponse:
    row = access.hold_to_end(request.actor, hold_id)
    form = BecauseForm(request.POST)

    def act() -> str:
        asks.end_hold(
            actor=request.actor, row=row, now=timezone.now(), **form.cleaned_data
        )
        return "The hold has ended."

    return _done(request, row.visit_id, form, act, hold_form=form)


def _done(
    request: MemberRequest,
    visit_id: UUID,
    form: forms.Form,
    act: Callable[[], str],
    **shown: object,
) -> HttpResponse:
    """Do it and go back; else show the page again with what was typed."""
    request.actor.require("visits.see_asks")
    if not form.is_valid():
        return _page(request, visit_id, status=400, **shown)
    try:
        messages.success(request, act())
    except Refusal as refusal:
        known = refusal.field if refusal.field in form.fields else None
        form.add_error(known, refusal.message)
        return _page(request, visit_id, status=refusal.status, **shown)
    return redirect("visit-asks", request.actor.firm.slug, visit_id)


def _page(
    request: MemberRequest, visit_id: UUID, *, status: int = 200, **shown: object
) -> HttpResponse:
    given = {
        "interest_form": InterestForm(),
        "told_form": ToldForm(),
        "told_id": None,
        "paid_form": PaidForm(),
        "hold_form": BecauseForm(),
    } | shown
    visit = visit_to_read(request.actor, visit_id)
    context = {"page": rows.page(request.actor, visit), **given}
    return render(request, "findings/standards/asks.html", context, status=status)
