"""One stop: read it, leave it, close it."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from findings.forms.field import PhotoForm
from findings.forms.walk import LeaveStopForm, say_why
from findings.selectors.field.leaving import leave_stop_page
from findings.selectors.field.stop import stop_page
from findings.services.field import closing
from findings.views.field import standing
from firm.errors import Refusal
from firm.http import MemberRequest, member_view
from inspections.services.log import new_id


@member_view
def stop_read(request: MemberRequest, visit_id: UUID, stop_id: UUID) -> HttpResponse:
    base = standing.read(request, visit_id)
    asked = (request.GET.get("about", ""), request.GET.get("find", "")[:60])
    page = stop_page(base, stop_id, *asked)
    standing.opened(request, stop_id)
    form = PhotoForm(initial={"record_id": new_id()})
    context = {"page": page, "photo_form": form}
    return render(request, "findings/field/stop.html", context)


@member_view
def stop_leave(request: MemberRequest, visit_id: UUID, stop_id: UUID) -> HttpResponse:
    base = standing.read(request, visit_id)
    opened = standing.opened(request, stop_id)
    page = leave_stop_page(base, stop_id, timezone.now(), opened)
    return render(request, "findings/field/leave_stop.html", {"page": page})


@require_POST
@member_view
def stop_close(request: MemberRequest, visit_id: UUID, stop_id: UUID) -> HttpResponse:
    base, now = standing.write(request, visit_id), timezone.now()
    opened = standing.opened(request, stop_id)
    page = leave_stop_page(base, stop_id, now, opened, request.POST.getlist("struck"))
    form = LeaveStopForm(request.POST, duties=[row.duty for row in page.closes])
    if form.is_valid():
        said = form.closing(stop_id, opened, page.shown)
        try:
            closing.close(base=base, closing=said, now=now)
        except Refusal as refusal:
            say_why(form, refusal)
        else:
            return redirect(page.next_url or base.url("visit-leave"))
    context = {"page": page, "form": form}
    return render(request, "findings/field/leave_stop.html", context, status=400)
