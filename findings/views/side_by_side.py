"""A visit under the standards of several states, side by side."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render

from findings.selectors.asks_pages import states_page
from firm.http import MemberRequest, member_view
from inspections.access import contents_to_read


@member_view
def visit_states(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = contents_to_read(request.actor, visit_id)
    request.actor.require("visits.see_asks")
    page = states_page(request.actor, visit)
    return render(request, "findings/standards/states.html", {"page": page})
