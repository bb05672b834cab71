"""The page of a re-check: what is looked at again, and how it was found."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from findings.services.field import photos
from firm.http import MemberRequest, member_view
from inspections.access import visit_to_read
from reports import access
from reports.forms import OUTCOMES, LookForm, RecheckForm
from reports.selectors import recheck_pages
from reports.services import rechecks, told

if TYPE_CHECKING:
    from django.core.files.uploadedfile import UploadedFile

    from inspections.models import Visit
    from reports.models import RecheckItem


@member_view
def recheck_read(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    if visit.purpose != rechecks.PURPOSE:
        raise Http404
    earlier = recheck_pages.earlier_releases(request.actor, visit)
    named = {row.pk: told.described(row) for row in earlier}
    page = recheck_pages.page(request.actor, visit, named)
    context = {"page": page, "outcomes": OUTCOMES}
    return render(request, "reports/recheck/recheck.html", context)


@require_POST
@member_view
def recheck_begin(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    form = RecheckForm(request.POST)
    if form.is_valid():
        earlier = access.release_of_firm(request.actor, form.cleaned_data["earlier"])
        rechecks.begin(
            actor=request.actor,
            visit=visit,
            earlier=earlier,
            numbers=form.cleaned_data["numbers"],
        )
    else:
        messages.error(request, "Choose what is to be looked at again.")
    return redirect("recheck-read", request.actor.firm.slug, visit.pk)


@require_POST
@member_view
def recheck_look(request: MemberRequest, item_id: UUID) -> HttpResponse:
    item = access.recheck_item(request.actor, item_id)
    form = LookForm(request.POST, request.FILES)
    if form.is_valid():
        rechecks.look(
            actor=request.actor,
            item=item,
            outcome=form.cleaned_data["outcome"],
            words=form.cleaned_data["words"],
            now=timezone.now(),
        )
        _photo(request, item.visit, item, form.cleaned_data["photo"])
    else:
        messages.error(request, "Say how it was found.")
    return redirect("recheck-read", request.actor.firm.slug, item.visit_id)


def _photo(
    request: MemberRequest,
    visit: Visit,
    item: RecheckItem,
    sent: UploadedFile[Any] | None,
) -> None:
    """Keep a photo of how it is now, as a photo of the walk is kept."""
    if sent is None:
        return
    picture = photos.Picture(
        photo_id=uuid4(),
        stop="",
        content=sent.read(),
        name=sent.name or "",
        about=str(item.pk),
        use="shows_it",
    )
    photos.add(actor=request.actor, visit=visit, picture=picture, now=timezone.now())
