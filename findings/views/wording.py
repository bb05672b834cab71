"""The wording checks: beside words while they are typed, and as the firm tunes them."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from findings import access
from findings.forms.library import TuningForm
from findings.forms.review import say_why
from findings.selectors import wording
from findings.services import library
from firm.errors import Refusal
from firm.http import MemberRequest, member_view

BAD = 400
LIVE = "findings/passages/_remarks_live.html"


@require_POST
@member_view
def finding_remarks(request: MemberRequest, finding_id: UUID) -> HttpResponse:
    """Say what the checks remark on words that are typed and not saved."""
    finding = access.finding_to_read(request.actor, finding_id)
    found = wording.typed_for_finding(request.actor, finding, request.POST)
    return render(request, LIVE, {"parts": found})


@require_POST
@member_view
def passage_remarks(request: MemberRequest) -> HttpResponse:
    """Say what the checks remark on a passage that is typed and not saved."""
    request.actor.require("passages.read")
    found = wording.typed_for_passage(request.actor, request.POST)
    return render(request, LIVE, {"parts": found})


@member_view
def wording_checks(request: MemberRequest) -> HttpResponse:
    """Every check with its examples; the owner switches and sets."""
    request.actor.require("passages.read")
    page = wording.checks_page(request.actor)
    form = TuningForm(request.POST or None, initial=page.initial)
    status = BAD if request.POST else 200
    if request.POST and form.is_valid():
        shown = form.cleaned_data["shown"]
        try:
            library.tune(actor=request.actor, tuning=form.tuning(), shown=shown)
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            messages.success(request, "Kept. Words are checked this way from now on.")
            return redirect("wording-checks", request.actor.firm.slug)
    context = {"page": page, "form": form}
    return render(request, "findings/passages/checks.html", context, status=status)
