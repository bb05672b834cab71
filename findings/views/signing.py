"""The inspector answers changes of substance and signs the differences."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from findings import access
from findings.forms.review import SignForm, StandInForm, YesNoForm, say_why
from findings.selectors.sign_rows import sign_page
from findings.services import review, words
from findings.views.going_back import back
from firm.errors import BadInput, Refusal
from firm.http import MemberRequest, member_view


@member_view
def visit_sign(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = access.visit_to_sign(request.actor, visit_id)
    if request.method != "POST":
        return _page(request, visit_id)
    form, status = SignForm(request.POST), 400
    if form.is_valid():
        digest = form.cleaned_data["shown_digest"]
        try:
            review.sign(
                actor=request.actor,
                visit=visit,
                shown_digest=digest,
                now=timezone.now(),
            )
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            return redirect("visit-sign", request.actor.firm.slug, visit.pk)
    return _page(request, visit_id, form, status)


@member_view
def visit_stand_in(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = access.visit_to_stand_in(request.actor, visit_id)
    if request.method != "POST":
        return _instead(request, visit_id)
    form, status = StandInForm(request.POST), 400
    if form.is_valid():
        given = {name: form.cleaned_data[name] for name in ("shown_digest", "because")}
        try:
            review.sign_for(
                actor=request.actor, visit=visit, now=timezone.now(), **given
            )
        except Refusal as refusal:
            say_why(form, refusal)
            status = refusal.status
        else:
            return redirect("review-read", request.actor.firm.slug, visit.pk)
    return _instead(request, visit_id, form, status)


@require_POST
@member_view
def change_answer(request: MemberRequest, change_id: UUID) -> HttpResponse:
    change = access.change_to_answer(request.actor, change_id)
    form = YesNoForm(request.POST)
    if not form.is_valid():
        raise BadInput("Answer yes or no.", field="answer")
    said = form.cleaned_data["answer"] == "yes"
    words.answer_change(actor=request.actor, change=change, yes=said)
    return redirect(back(request, change, change.finding.visit_id))


def _page(
    request: MemberRequest,
    visit_id: UUID,
    typed: SignForm | None = None,
    status: int = 200,
) -> HttpResponse:
    """Show what stands now; a refused form signs what is shown, not what was."""
    visit = access.visit_to_sign(request.actor, visit_id)
    page = sign_page(request.actor, visit, timezone.now())
    form = typed.at(page.digest) if typed else SignForm.showing(page.digest)
    context = {"page": page, "form": form}
    return render(request, "findings/signing/sign.html", context, status=status)


def _instead(
    request: MemberRequest,
    visit_id: UUID,
    typed: StandInForm | None = None,
    status: int = 200,
) -> HttpResponse:
    visit = access.visit_to_stand_in(request.actor, visit_id)
    page = sign_page(request.actor, visit, timezone.now(), stand_in=True)
    form = typed.at(page.digest) if typed else StandInForm.showing(page.digest)
    context = {"page": page, "form": form}
    return render(request, "findings/signing/sign.html", context, status=status)
