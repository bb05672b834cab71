"""Pages of the review: the list, one visit as the client will read it, notes."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from findings import access
from findings.forms.review import AnswerForm, NoteForm, say_why
from findings.forms.review_office import TurnForm
from findings.selectors import review_list as rows
from findings.selectors.review_visit import review_page
from findings.services import review
from findings.views.going_back import after_note, after_of, back
from findings.views.showing import show_finding
from firm.errors import Refusal
from firm.http import MemberRequest, member_view
from inspections.access import contents_to_read


@member_view
def review_list(request: MemberRequest) -> HttpResponse:
    request.actor.require("words.review")
    page = rows.list_page(request.actor, timezone.now())
    return render(request, "findings/review/list.html", {"page": page})


@member_view
def review_read(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    about = request.GET.get("about", "visit")
    return _page(request, visit_id, NoteForm(initial={"about": about}))


@require_POST
@member_view
def review_finish(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = contents_to_read(request.actor, visit_id)
    review.finish_review(actor=request.actor, visit=visit, now=timezone.now())
    messages.success(request, f"The visit waits for {visit.inspector.name} to sign.")
    return redirect("review-list", request.actor.firm.slug)


@require_POST
@member_view
def note_write(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = contents_to_read(request.actor, visit_id)
    form = NoteForm(request.POST)
    if form.is_valid():
        try:
            note = review.write_note(
                actor=request.actor, visit=visit, **form.cleaned_data
            )
        except Refusal as refusal:
            say_why(form, refusal)
        else:
            return redirect(after_note(request.actor, note))
    finding = access.finding_noted(request.actor, visit, form.data.get("about", ""))
    if finding:
        return show_finding(request, finding.pk, 400, note_form=form)
    return _page(request, visit_id, form, 400)


@require_POST
@member_view
def note_settle(request: MemberRequest, note_id: UUID) -> HttpResponse:
    note = access.note_to_settle(request.actor, note_id)
    form = AnswerForm(request.POST)
    if not form.is_valid():
        for text in form.errors.get("answer", ()):
            messages.error(request, f"The note is not settled. {text}")
        return redirect(back(request, note, note.visit_id))
    review.settle_note(
        actor=request.actor,
        note=note,
        answer=form.cleaned_data["answer"],
        now=timezone.now(),
    )
    return redirect(back(request, note, note.visit_id))


def _page(
    request: MemberRequest, visit_id: UUID, note_form: NoteForm, status: int = 200
) -> HttpResponse:
    visit = contents_to_read(request.actor, visit_id)
    about = str(note_form["about"].value() or "")
    page = review_page(request.actor, visit, timezone.now(), about, after_of(request))
    turn_form = TurnForm(readers=list(page.turn_choices))
    context = {"page": page, "note_form": note_form, "turn_form": turn_form}
    return render(request, "findings/review/visit.html", context, status=status)
