"""The receptacle walk: counts of a room, and one odd receptacle."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect

from findings.forms.field import ReceptacleCountsForm, ReceptacleForm
from findings.selectors.field import receptacles as rows
from findings.views.field import standing
from firm.http import MemberRequest, member_view
from inspections.services import pages


@member_view
def receptacle_walk(
    request: MemberRequest, visit_id: UUID, stop_id: UUID
) -> HttpResponse:
    base = standing.write(request, visit_id)
    page, stop = rows.walk_page(base, stop_id), base.of("stop", stop_id)
    form = ReceptacleCountsForm(
        request.POST or None, initial={**stop, "shown": base.shown}
    )
    if request.method == "POST" and form.is_valid():
        typed = pages.Typed(str(stop_id), "stop", form.recorded())
        if standing.saved(base, form, typed):
            return redirect(page.stop_url)
    return standing.shown(request, "receptacle_walk", page, form)


@member_view
def receptacle_write(
    request: MemberRequest, visit_id: UUID, stop_id: UUID, rec: UUID
) -> HttpResponse:
    base = standing.write(request, visit_id)
    page = rows.receptacle_page(base, stop_id, rec)
    form = ReceptacleForm(
        request.POST or None,
        others=rows.others(base, rec),
        initial={**rows.record(base, stop_id, rec), "shown": base.shown},
    )
    if request.method == "POST" and form.is_valid():
        said = form.recorded() | {"stop": str(stop_id)}
        typed = pages.Typed(str(rec), "receptacle", said)
        if standing.saved(base, form, typed):
            return redirect(page.walk_url)
    return standing.shown(request, "receptacle", page, form)
