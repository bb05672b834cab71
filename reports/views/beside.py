"""The firm's pages beside a report: questions, papers, complaints, what is owed."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from firm.errors import Refusal
from firm.http import MemberRequest, member_view
from inspections.access import visit_to_read
from reports import access
from reports.forms import (
    AnswerForm,
    ComplaintForm,
    OverrideForm,
    PaperForm,
    TakeBackForm,
)
from reports.selectors import beside_pages
from reports.services import attachments, complaints, owed, questions
from reports.services.told import named
from reports.views.share_session import host_of

if TYPE_CHECKING:
    from inspections.models import Visit


@require_POST
@member_view
def override(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    form = OverrideForm(request.POST)
    request.actor.require("reports.override")
    if form.is_valid():
        owed.override(
            actor=request.actor, visit=visit, now=timezone.now(), **form.cleaned_data
        )
        messages.success(request, "It may go all the same; your reason is kept.")
    else:
        messages.error(request, "Say why it goes all the same.")
    return redirect("release-read", request.actor.firm.slug, visit.pk)


@require_POST
@member_view
def take_back(request: MemberRequest, release_id: UUID) -> HttpResponse:
    release = access.release_to_read(request.actor, release_id)
    form = TakeBackForm(request.POST)
    request.actor.require("reports.take_back")
    if form.is_valid():
        owed.take_back(
            actor=request.actor,
            release=release,
            because=form.cleaned_data["because"],
            now=timezone.now(),
        )
        messages.success(request, "No link shows this issue any more.")
    else:
        messages.error(request, "Say why it is taken back.")
    return redirect("release-read", request.actor.firm.slug, release.visit_id)


@member_view
def question_list(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    request.actor.require("reports.see_link_log")
    visit = visit_to_read(request.actor, visit_id)
    page = _questions(request, visit)
    context = {"page": page, "form": AnswerForm()}
    return render(request, "reports/beside/questions.html", context)


@require_POST
@member_view
def question_answer(request: MemberRequest, question_id: UUID) -> HttpResponse:
    question = access.question_to_answer(request.actor, question_id)
    form = AnswerForm(request.POST)
    if form.is_valid():
        given = questions.answer(
            actor=request.actor,
            question=question,
            now=timezone.now(),
            address=host_of(request),
            **form.cleaned_data,
        )
        messages.success(request, "Answered." if given else beside_pages.PUT_BY)
        return redirect("question-list", request.actor.firm.slug, question.visit_id)
    page = _questions(request, question.visit)
    context = {"page": page, "form": form, "answering": question.pk}
    return render(request, "reports/beside/questions.html", context, status=400)


def _questions(request: MemberRequest, visit: Visit) -> beside_pages.QuestionsPage:
    newest = access.newest_released(request.actor, visit)
    issue = newest.issue if newest else 0
    return beside_pages.questions_page(request.actor, visit, issue, named(newest))


@member_view
def papers(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    """Show the papers of a visit, and take one more in."""
    request.actor.require("papers.add")
    visit = visit_to_read(request.actor, visit_id)
    form = PaperForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid() and _taken(request, visit, form):
        return redirect("paper-list", request.actor.firm.slug, visit.pk)
    context = {"page": beside_pages.papers_page(request.actor, visit), "form": form}
    status = 400 if form.errors else 200
    return render(request, "reports/beside/papers.html", context, status=status)


def _taken(request: MemberRequest, visit: Visit, form: PaperForm) -> bool:
    file = form.cleaned_data["file"]
    try:
        attachments.attach(
            actor=request.actor,
            visit=visit,
            file_name=file.name,
            content=file.read(attachments.LARGEST + 1),
            said=form.cleaned_data,
            now=timezone.now(),
        )
    except Refusal as refusal:
        form.add_error(refusal.field or "file", refusal.message)
        return False
    return True


@member_view
def complaints_page(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    """Show the complaints about a visit, and take one more down."""
    request.actor.require("complaints.take")
    visit = visit_to_read(request.actor, visit_id)
    form = ComplaintForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        complaints.take(
            actor=request.actor,
            visit=visit,
            said=form.cleaned_data,
            now=timezone.now(),
        )
        messages.success(request, "Taken down. A hold stands on the visit.")
        return redirect("complaint-list", request.actor.firm.slug, visit.pk)
    page = beside_pages.complaints_page(request.actor, visit)
    context = {"page": page, "form": form}
    status = 400 if form.errors else 200
    return render(request, "reports/beside/complaints.html", context, status=status)
