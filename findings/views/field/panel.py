"""The panel map: drawn, painted, one space at a time, the enclosure, marked done."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from findings.forms.panel import enclosure_form, paint_form, space_form
from findings.selectors.field import enclosure as facts
from findings.selectors.field import panel as drawing
from findings.views.field import standing
from firm.http import MemberRequest, member_view
from inspections.services import pages


@member_view
def panel_map(
    request: MemberRequest, visit_id: UUID, enclosure_id: UUID
) -> HttpResponse:
    base = standing.read(request, visit_id)
    page = drawing.panel_page(base, enclosure_id, painting=False)
    return render(request, "findings/field/panel_map.html", {"page": page})


@require_POST
@member_view
def panel_done(
    request: MemberRequest, visit_id: UUID, enclosure_id: UUID
) -> HttpResponse:
    base = standing.write(request, visit_id)
    base.of("enclosure", enclosure_id)
    done = {"map_done": request.POST.get("map_done") == "yes"}
    pages.write(
        actor=base.actor,
        visit=base.visit,
        shown=base.shown,
        typed=[pages.Typed(str(enclosure_id), "enclosure", done)],
    )
    return redirect(base.url("panel-map", enclosure_id))


@member_view
def space_paint(
    request: MemberRequest, visit_id: UUID, enclosure_id: UUID
) -> HttpResponse:
    base = standing.write(request, visit_id)
    page = drawing.panel_page(base, enclosure_id, painting=True)
    form = paint_form(page, request.POST or None)
    if request.method == "POST" and form.is_valid():
        painted = drawing.painted(base, enclosure_id, form.paint())
        typed = [pages.Typed(rec, "space", fields) for rec, fields in painted]
        if standing.saved(base, form, *typed):
            return redirect(page.paint_url)
    return standing.shown(request, "panel_map", page, form)


@member_view
def space_write(
    request: MemberRequest, visit_id: UUID, enclosure_id: UUID, number: int
) -> HttpResponse:
    base = standing.write(request, visit_id)
    page = drawing.space_page(base, enclosure_id, number)
    rec, record = drawing.space_record(base, enclosure_id, number)
    form = space_form(record, base.shown, rec, request.POST or None)
    if request.method == "POST" and form.is_valid():
        own = {"enclosure": str(enclosure_id), "number": number}
        typed = pages.Typed(rec, "space", form.recorded() | own)
        if standing.saved(base, form, typed):
            onward = page.later_url if request.POST.get("then") == "next" else ""
            return redirect(onward or page.map_url)
    return standing.shown(request, "space", page, form)


@member_view
def enclosure_write(
    request: MemberRequest, visit_id: UUID, enclosure_id: UUID
) -> HttpResponse:
    base = standing.write(request, visit_id)
    asked = facts.asked(base, enclosure_id, request.GET.get("stop", ""))
    form = enclosure_form(asked, request.POST or None)
    if request.method == "POST" and form.is_valid():
        said = form.recorded() | dict(asked.fixed)
        typed = pages.Typed(str(enclosure_id), "enclosure", said)
        if standing.saved(base, form, typed):
            return redirect(base.url("panel-map", enclosure_id))
    return standing.shown(request, "enclosure", asked.page, form)
