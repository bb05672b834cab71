"""Urgent notices of a visit: the list, one notice, its PDF and pictures, freezing."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from firm.errors import BadInput
from firm.http import MemberRequest, member_view
from inspections.access import contents_to_read
from reports import access
from reports.forms import FreezeForm
from reports.services import files, urgent
from reports.services import urgent_pages as rows
from reports.views import serving


@require_GET
@member_view
def urgent_list(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = contents_to_read(request.actor, visit_id)
    page = rows.list_page(request.actor, visit)
    return render(request, "reports/urgent/list.html", {"page": page})


@require_POST
@member_view
def urgent_freeze(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = contents_to_read(request.actor, visit_id)
    form = FreezeForm(request.POST)
    if not form.is_valid():
        raise BadInput("Say which hazard the notice is about.", field="record")
    row = urgent.freeze(
        actor=request.actor,
        visit=visit,
        record=form.cleaned_data["record"],
        now=timezone.now(),
        correction=_correction(request, form),
    )
    messages.success(request, "The notice is frozen. Its PDF is being made.")
    return redirect("urgent-read", request.actor.firm.slug, row.pk)


def _correction(request: MemberRequest, form: FreezeForm) -> urgent.Correction | None:
    replaces = form.cleaned_data["replaces"]
    if replaces is None:
        return None
    row = access.notice_to_read(request.actor, replaces)
    return urgent.Correction(row, form.cleaned_data["reason"])


@require_GET
@member_view
def urgent_read(request: MemberRequest, notice_id: UUID) -> HttpResponse:
    row = access.notice_to_read(request.actor, notice_id)
    page = rows.notice_page(request.actor, row)
    form = FreezeForm(initial={"record": page.record, "replaces": row.pk})
    return render(request, "reports/urgent/notice.html", {"page": page, "form": form})


@require_GET
@member_view
def urgent_pdf(request: MemberRequest, notice_id: UUID) -> HttpResponse:
    row = access.notice_to_read(request.actor, notice_id)
    name = f"urgent-notice-{row.visit.number}-{row.number}.pdf"
    return serving.download(request, files.notice_pdf(row), name)


@require_GET
@member_view
def urgent_photo(request: MemberRequest, notice_id: UUID, picture: str) -> HttpResponse:
    row = access.notice_to_read(request.actor, notice_id)
    return serving.picture(request, files.notice_photo(row, picture))
