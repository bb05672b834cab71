"""Passages from a file, and to a file."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from findings import access
from findings.forms.bringing import ExplainForm, FileForm
from findings.forms.review import say_why
from findings.selectors import bringing as rows
from findings.services import bringing
from firm.errors import Refusal
from firm.http import MemberRequest, member_view

BAD = 400
TYPES = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


@member_view
def passage_bring(request: MemberRequest) -> HttpResponse:
    """Choose a file; it is read and shown before anything is taken over."""
    request.actor.require("passages.approve")
    form = FileForm(request.POST or None, request.FILES or None)
    status = 200
    if request.method == "POST":
        form, status = FileForm(request.POST, request.FILES), BAD
        if form.is_valid():
            file = form.cleaned_data["file"]
            try:
                row = bringing.bring(
                    actor=request.actor, name=file.name, data=file.read()
                )
            except Refusal as refusal:
                say_why(form, refusal)
            else:
                return redirect("import-read", request.actor.firm.slug, row.pk)
    context = {"form": form, "earlier": rows.earlier(request.actor)}
    return render(request, "findings/passages/bring.html", context, status=status)


@member_view
def import_read(request: MemberRequest, brought_id: UUID) -> HttpResponse:
    """Show what would become of the file; a POST says what its columns mean."""
    brought = access.import_to_read(request.actor, brought_id)
    page = rows.import_page(request.actor, brought)
    form, status = ExplainForm(request.POST or None, page=page), 200
    if request.method == "POST":
        status = BAD
        if form.is_valid():
            try:
                bringing.explain(
                    actor=request.actor, brought=brought, choices=form.choices()
                )
            except Refusal as refusal:
                say_why(form, refusal)
                status = refusal.status
            else:
                return redirect("import-read", request.actor.firm.slug, brought.pk)
    context = {"page": page, "form": form}
    return render(request, "findings/passages/brought.html", context, status=status)


@member_view
def import_mend(request: MemberRequest, brought_id: UUID) -> HttpResponse:
    """Give the rows that have to be mended, each with what to do."""
    brought = access.import_to_read(request.actor, brought_id)
    return _file(rows.to_mend(brought), "csv", "passages-to-mend")


@require_POST
@member_view
def import_take(request: MemberRequest, brought_id: UUID) -> HttpResponse:
    brought = access.import_to_read(request.actor, brought_id)
    try:
        written, same = bringing.take(actor=request.actor, brought=brought)
    except Refusal as refusal:
        messages.error(request, refusal.message)
        return redirect("import-read", request.actor.firm.slug, brought.pk)
    stood = f" {same} stood there already." if same else ""
    said = f"{written} passages taken over; they wait for approval.{stood}"
    messages.success(request, said)
    return redirect("passage-list", request.actor.firm.slug)


@require_POST
@member_view
def import_leave(request: MemberRequest, brought_id: UUID) -> HttpResponse:
    brought = access.import_to_read(request.actor, brought_id)
    try:
        bringing.leave(actor=request.actor, brought=brought)
    except Refusal as refusal:
        messages.error(request, refusal.message)
    else:
        messages.success(request, "Left aside. Nothing of it was taken over.")
    return redirect("import-read", request.actor.firm.slug, brought.pk)


@member_view
def passage_export(request: MemberRequest, form: str) -> HttpResponse:
    """Give all passages as a file that can be brought in again."""
    request.actor.require("passages.approve")
    if form not in TYPES:
        raise Http404
    return _file(rows.exported(request.actor, form), form, "passages")


def _file(data: bytes, form: str, name: str) -> HttpResponse:
    response = HttpResponse(data, content_type=TYPES[form])
    response["Content-Disposition"] = f'attachment; filename="{name}.{form}"'
    return response
