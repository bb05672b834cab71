"""Entries of a stop: an item, a duty, a note, a hazard, a gap, one that is there."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils import timezone

from findings.forms.walk import form_of
from findings.selectors.field import asking
from findings.selectors.field.asking import Asked
from findings.selectors.field.ground import Ground
from findings.views.field import standing
from firm.http import MemberRequest, member_view
from inspections.services import pages


@member_view
def item_write(
    request: MemberRequest, visit_id: UUID, stop_id: UUID, key: str
) -> HttpResponse:
    base = standing.write(request, visit_id)
    return _write(request, base, asking.item(base, stop_id, key))


@member_view
def entry_write(request: MemberRequest, visit_id: UUID, rec: UUID) -> HttpResponse:
    base = standing.write(request, visit_id)
    return _write(request, base, asking.entry(base, rec, timezone.now()))


@member_view
def stop_note(request: MemberRequest, visit_id: UUID, stop_id: UUID) -> HttpResponse:
    base = standing.write(request, visit_id)
    return _write(request, base, asking.note(base, stop_id))


@member_view
def hazard_write(request: MemberRequest, visit_id: UUID, stop_id: UUID) -> HttpResponse:
    base = standing.write(request, visit_id)
    return _write(request, base, asking.hazard(base, stop_id, timezone.now()))


@member_view
def limit_write(request: MemberRequest, visit_id: UUID, stop_id: UUID) -> HttpResponse:
    base = standing.write(request, visit_id)
    return _write(request, base, asking.limit(base, stop_id))


def _write(request: MemberRequest, base: Ground, asked: Asked) -> HttpResponse:
    form = form_of(asked, request.POST or None)
    if request.method == "POST" and form.is_valid():
        rec = asked.new_record(form.cleaned_data["record_id"], base.records)
        typed = pages.Typed(rec, asked.kind, asked.fields(form.recorded()))
        if standing.saved(base, form, typed):
            return redirect(asked.page.stop_url)
    return standing.shown(request, "item", asked.page, form)
