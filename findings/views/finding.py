"""One finding: read it, change its words, ask for more, pass it or send it back."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from findings import access
from findings.forms.review import (
    CheckForm,
    ReturnForm,
    SubstanceForm,
    WordsForm,
    say_why,
)
from findings.selectors.finding_rows import level_choices, next_to_read
from findings.services import review, words
from findings.views.going_back import after_check
from findings.views.showing import show_finding
from firm.errors import Refusal
from firm.http import MemberRequest, member_view

BAD, REFUSED = 400, 409


@member_view
def finding_read(request: MemberRequest, finding_id: UUID) -> HttpResponse:
    return show_finding(request, finding_id)


@require_POST
@member_view
def finding_words(request: MemberRequest, finding_id: UUID) -> HttpResponse:
    finding = access.finding_to_read(request.actor, finding_id)
    form = WordsForm(request.POST)
    if not form.is_valid():
        return show_finding(request, finding_id, BAD, form=form)
    try:
        words.rewrite(actor=request.actor, finding=finding, new=form.rewording())
    except words.WordsMovedOn as moved:
        say_why(form, moved)
        newer = form.at(moved.version)
        return show_finding(request, finding_id, REFUSED, moved.theirs, form=newer)
    except Refusal as refusal:
        say_why(form, refusal)
        return show_finding(request, finding_id, refusal.status, form=form)
    return _done(request, finding_id)


@require_POST
@member_view
def finding_change(request: MemberRequest, finding_id: UUID) -> HttpResponse:
    finding = access.finding_to_read(request.actor, finding_id)
    form = SubstanceForm(request.POST, levels=level_choices(finding))
    status = BAD
    if form.is_valid():
        asked = words.Substance(
            form.wanted(),
            form.cleaned_data["reason"],
            form.cleaned_data["change_asked_by"],
        )
        try:
            words.ask_for_changes(actor=request.actor, finding=finding, asked=asked)
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            return _done(request, finding_id)
    return show_finding(request, finding_id, status, change_form=form)


@require_POST
@member_view
def finding_return(request: MemberRequest, finding_id: UUID) -> HttpResponse:
    finding = access.finding_to_read(request.actor, finding_id)
    form = ReturnForm(request.POST)
    status = BAD
    if form.is_valid():
        try:
            review.send_back(
                actor=request.actor, finding=finding, note=form.cleaned_data["note"]
            )
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            return _done(request, finding_id)
    return show_finding(request, finding_id, status, return_form=form)


@require_POST
@member_view
def finding_hand_back(request: MemberRequest, finding_id: UUID) -> HttpResponse:
    finding = access.finding_to_read(request.actor, finding_id)
    review.hand_back(actor=request.actor, finding=finding)
    messages.success(request, "The finding is with the reviewer again.")
    return _done(request, finding_id)


@require_POST
@member_view
def finding_check(request: MemberRequest, finding_id: UUID) -> HttpResponse:
    finding = access.finding_to_read(request.actor, finding_id)
    form = CheckForm(request.POST)
    status = BAD
    if form.is_valid():
        try:
            review.check_words(
                actor=request.actor, finding=finding, **form.cleaned_data
            )
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            following = next_to_read(request.actor, finding)
            return redirect(after_check(request, finding, following))
    return show_finding(request, finding_id, status, check_form=form)


def _done(request: MemberRequest, finding_id: UUID) -> HttpResponse:
    return redirect("finding-read", request.actor.firm.slug, finding_id)
