"""The office's pages of bookings."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from firm.errors import Refusal
from firm.http import MemberRequest, member_view
from inspections.access import visit_to_read
from inspections.forms.bookings import AgreementForm, BookingForm
from inspections.selectors import bookings as rows
from inspections.services import agreements, visits
from inspections.views.asked import booking_of


@member_view
def booking_list(request: MemberRequest) -> HttpResponse:
    request.actor.require("visits.book")
    page = rows.list_page(request.actor, request.GET.get("day", ""), timezone.now())
    return render(request, "inspections/bookings/list.html", {"page": page})


@member_view
def booking_new(request: MemberRequest) -> HttpResponse:
    request.actor.require("visits.book")
    form = BookingForm(request.POST or None, **rows.form_choices(request.actor))
    if request.method == "POST" and form.is_valid():
        try:
            visit = visits.book(actor=request.actor, booking=booking_of(form))
        except Refusal as refusal:
            form.add_error(rows.form_field(refusal.field), refusal.message)
        else:
            return redirect("booking-read", request.actor.firm.slug, visit.pk)
    page = rows.new_page(request.actor)
    return render(
        request,
        "inspections/bookings/new.html",
        {"page": page, "form": form},
        status=400 if form.errors else 200,
    )


@member_view
def booking_read(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    request.actor.require("visits.book")
    links = request.session.pop(f"fresh:{visit.pk}", [])
    page = rows.booking_page(request.actor, visit, links)
    form = AgreementForm(initial={"text": rows.draft_agreement(request.actor, visit)})
    return render(
        request,
        "inspections/bookings/booking.html",
        {"page": page, "form": None if page.agreement_text else form},
    )


@require_POST
@member_view
def agreement_send(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    now = timezone.now()
    form = AgreementForm(request.POST)
    frozen = rows.frozen_text(visit)
    if not frozen and not form.is_valid():
        page = rows.booking_page(request.actor, visit, [])
        context = {"page": page, "form": form}
        return render(request, "inspections/bookings/booking.html", context, status=400)
    address = f"{request.scheme}://{request.get_host()}"
    asked = agreements.send_out(
        actor=request.actor,
        visit=visit,
        address=address,
        now=now,
        text=frozen or form.cleaned_data["text"],
    )
    messages.success(request, rows.sent_words(asked))
    request.session[f"fresh:{visit.pk}"] = rows.unmailed(asked, address)
    return redirect("booking-read", request.actor.firm.slug, visit.pk)
