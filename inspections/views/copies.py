"""Bringing in what a phone could not send."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from firm.errors import Refusal
from firm.http import MemberRequest, member_view
from inspections.access import contents_to_read
from inspections.forms.saved_copy import SavedCopyForm
from inspections.selectors.heads import visit_head
from inspections.services import saved_copy


@member_view
def copy_bring_in(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    request.actor.require("visits.see_all_contents")
    visit = contents_to_read(request.actor, visit_id)
    form = SavedCopyForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        try:
            found = saved_copy.bring_in(
                actor=request.actor, visit=visit, data=given["file"].read(),
                words=given["words"], now=timezone.now(),
            )  # fmt: skip
            messages.success(request, _said(found))
            return redirect("visit-read", request.actor.firm.slug, visit.pk)
        except Refusal as refusal:
            form.add_error(refusal.field, refusal.message)
    head = visit_head(request.actor, visit, "copy-bring-in")
    page, status = {"form": form, "head": head}, 400 if form.errors else 200
    return render(request, "inspections/bookings/copy.html", page, status=status)


def _said(found: saved_copy.BroughtIn) -> str:
    apart = f", {found.apart} kept apart" if found.apart else ""
    return (
        f"Brought in: {found.entries} entries, {found.fresh} of them new{apart};"
        f" {found.photos} pictures."
    )
