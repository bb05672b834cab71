"""Questions about a report, by whoever may read it."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from firm.errors import Refusal
from firm.http import takes_a_form
from reports import access
from reports.forms import QuestionForm, ThreadForm
from reports.selectors import reader_pages
from reports.services import questions, told
from reports.views.share_session import host_of, opened

if TYPE_CHECKING:
    from reports.models import Release, ShareLink


@require_http_methods(["GET", "POST"])
@opened
def ask(request: HttpRequest, link: ShareLink) -> HttpResponse:
    """Show one's own questions with their answers, and ask one more."""
    release = access.latest_release(link)
    start = {"number": request.GET.get("about", "")}
    form = QuestionForm(request.POST or None, initial=start)
    if request.method == "POST" and _asked(request, link, release, form):
        return redirect("share-questions")
    named = told.named(release, whole=link.whole)
    page = reader_pages.questions_page(link, release.issue, named)
    context = {"form": form, "page": page}
    status = 400 if form.errors else 200
    return takes_a_form(
        render(request, "reports/share/questions.html", context, status=status)
    )


def _asked(
    request: HttpRequest, link: ShareLink, release: Release, form: QuestionForm
) -> bool:
    """Ask as the form says; a refusal becomes the form's error."""
    if not form.is_valid():
        return False
    try:
        questions.ask(
            link=link,
            release=release,
            now=timezone.now(),
            address=host_of(request),
            **form.cleaned_data,
        )
    except Refusal as refusal:
        form.add_error(refusal.field, refusal.message)
        return False
    return True


@require_POST
@opened
def ask_on(request: HttpRequest, link: ShareLink, question_id: UUID) -> HttpResponse:
    """Write once more into one's own question."""
    question = access.question_of_reader(link, question_id)
    form = ThreadForm(request.POST)
    if form.is_valid():
        questions.ask_on(
            link=link,
            question=question,
            now=timezone.now(),
            address=host_of(request),
            text=form.cleaned_data["text"],
        )
    return redirect("share-questions")
