"""How the firm reviews: its policy, covers, turns, and who has a visit in view."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from findings import access
from findings.forms.review import say_why
from findings.forms.review_office import CoverForm, PolicyForm, TurnForm
from findings.selectors import review_how as rows
from findings.selectors.sittings import others_here
from findings.selectors.turns import readers
from findings.services import review_policy as policies
from findings.services import sittings, turns
from firm.access import member_to_read
from firm.errors import Refusal
from firm.http import MemberRequest, member_view
from inspections.access import contents_to_read


@member_view
def review_how(request: MemberRequest) -> HttpResponse:
    request.actor.require("words.review")
    return _page(request)


@require_POST
@member_view
def review_policy(request: MemberRequest) -> HttpResponse:
    request.actor.require("review.decide")
    people = [(str(one.pk), one.name) for one in rows.inspectors(request.actor)]
    levels = list(rows.level_choices())
    form = PolicyForm(request.POST, levels=levels, inspectors=people)
    if not form.is_valid():
        return _page(request, 400, policy_form=form)
    policies.set_policy(actor=request.actor, policy=form.policy())
    messages.success(request, "From now on reviews follow this.")
    return redirect("review-how", request.actor.firm.slug)


@require_POST
@member_view
def cover_set(request: MemberRequest) -> HttpResponse:
    request.actor.require("words.review")
    form, status = CoverForm(request.POST, readers=_readers(request)), 400
    if form.is_valid():
        try:
            turns.cover(
                actor=request.actor, away=_asked(request, form), now=timezone.now()
            )
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            return redirect("review-how", request.actor.firm.slug)
    return _page(request, status, cover_form=form)


@require_POST
@member_view
def cover_end(request: MemberRequest, cover_id: UUID) -> HttpResponse:
    row = access.cover_to_end(request.actor, cover_id)
    turns.end_cover(actor=request.actor, row=row, now=timezone.now())
    return redirect("review-how", request.actor.firm.slug)


@require_POST
@member_view
def turn_give(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = contents_to_read(request.actor, visit_id)
    request.actor.require("words.review")
    form = TurnForm(request.POST, readers=_readers(request))
    if form.is_valid():
        reader = form.cleaned_data["reader"]
        turns.name_reader(
            actor=request.actor,
            visit=visit,
            reader=member_to_read(request.actor, reader) if reader else None,
            because=form.cleaned_data["because"],
            now=timezone.now(),
        )
    return redirect("review-read", request.actor.firm.slug, visit.pk)


@require_POST
@member_view
def review_beat(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    """Note that the page is in view, and say who else has it open."""
    visit, now = contents_to_read(request.actor, visit_id), timezone.now()
    sittings.beat(actor=request.actor, visit=visit, now=now)
    return JsonResponse({"others": others_here(request.actor, visit, now)})


def _asked(request: MemberRequest, form: CoverForm) -> turns.Away:
    given = form.cleaned_data
    people = {
        name: member_to_read(request.actor, given[name]) for name in ("away", "by")
    }
    return turns.Away(**{**given, **people})


def _readers(request: MemberRequest) -> list[tuple[str, str]]:
    return [(str(one.pk), one.name) for one in readers(request.actor)]


def _page(request: MemberRequest, status: int = 200, **typed: Any) -> HttpResponse:
    page = rows.how_page(request.actor, timezone.now())
    context = {
        "page": page,
        "policy_form": PolicyForm(
            initial=page.policy.as_dict(),
            levels=list(page.levels),
            inspectors=list(page.inspectors),
        ),
        "cover_form": CoverForm(readers=list(page.readers)),
        **typed,
    }
    return render(request, "findings/review/how.html", context, status=status)
