"""My day."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone

from findings.selectors.field.day import my_day_page
from firm.http import MemberRequest, member_view


@member_view
def my_day(request: MemberRequest) -> HttpResponse:
    request.actor.require("visits.record")
    page = my_day_page(request.actor, request.GET.get("day", ""), timezone.now())
    return render(request, "findings/field/my_day.html", {"page": page})
