"""A client lets others read the report, and takes it back."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from firm.actor import Actor
from firm.http import takes_a_form
from reports import access
from reports.forms import LetInForm
from reports.selectors import reader_pages
from reports.services import consents
from reports.services.letting_in import let_in
from reports.views.share_session import host_of, opened

if TYPE_CHECKING:
    from reports.models import ShareLink


@require_http_methods(["GET", "POST"])
@opened
def people(request: HttpRequest, link: ShareLink) -> HttpResponse:
    """Let a client let one more person read; the consent is kept with its words."""
    if link.part != "CLIENT":
        raise Http404
    form = LetInForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        let_in(
            actor=_client(link),
            link=link,
            person=form.cleaned_data,
            address=host_of(request),
            now=timezone.now(),
        )
        return redirect("share-people")
    context = {"form": form, "page": reader_pages.people_page(link)}
    return takes_a_form(render(request, "reports/share/people.html", context))


@require_POST
@opened
def withdraw(_request: HttpRequest, link: ShareLink, consent_id: UUID) -> HttpResponse:
    """Take one consent back; its doors close with it."""
    row = access.consent_to_withdraw(link, consent_id)
    consents.withdraw_consent(actor=_client(link), row=row, now=timezone.now())
    return redirect("share-people")


def _client(link: ShareLink) -> Actor:
    return Actor.link(link.visit.firm, link.contact.name, link.pk)
