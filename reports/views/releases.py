"""The firm's pages of releases and of the doors to them."""

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
from reports.forms import ConsentForm, PartyForm, ReleaseForm
from reports.selectors import release_rows
from reports.services import releases, share_links


@member_view
def release_list(request: MemberRequest) -> HttpResponse:
    request.actor.require("reports.share")
    page = release_rows.list_page(request.actor)
    return render(request, "reports/releases/list.html", {"page": page})


@member_view
def release_read(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    return _page(request, visit_id, ReleaseForm())


@require_POST
@member_view
def release_make(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    form = ReleaseForm(request.POST)
    if form.is_valid():
        try:
            releases.release(
                actor=request.actor,
                visit=visit,
                now=timezone.now(),
                correction=releases.Correction(**form.cleaned_data),
            )
        except Refusal as refusal:
            for text in (refusal.message, *refusal.details):
                form.add_error(refusal.field, text)
        else:
            return redirect("release-read", request.actor.firm.slug, visit.pk)
    return _page(request, visit_id, form, status=409)


@require_POST
@member_view
def release_retry(request: MemberRequest, release_id: UUID) -> HttpResponse:
    row = access.release_to_read(request.actor, release_id)
    releases.try_again(actor=request.actor, row=row)
    return redirect("release-read", request.actor.firm.slug, row.visit_id)


@require_POST
@member_view
def share_link_make(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    visit = visit_to_read(request.actor, visit_id)
    form = PartyForm(request.POST)
    if form.is_valid():
        party = access.party_to_share(visit, form.cleaned_data["party"])
        address = f"{request.scheme}://{request.get_host()}"
        link, token = share_links.issue(
            actor=request.actor,
            visit=visit,
            party=party,
            address=address,
            now=timezone.now(),
        )
        request.session[f"door:{visit.pk}"] = f"{address}/r/{token}"
        messages.success(request, f"A link was sent to {link.contact.name}.")
    return redirect("release-read", request.actor.firm.slug, visit.pk)


@require_POST
@member_view
def consent_record(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    request.actor.require("reports.share")
    visit = visit_to_read(request.actor, visit_id)
    form = ConsentForm(request.POST)
    if form.is_valid():
        party = access.party_to_share(visit, form.cleaned_data["party"])
        share_links.consent(
            actor=request.actor,
            visit=visit,
            given_by=access.first_client(visit),
            for_contact=party.contact,
            scope="FULL",
            how=form.cleaned_data["how"],
            now=timezone.now(),
        )
        messages.success(request, f"The consent for {party.contact.name} is recorded.")
    else:
        messages.error(request, "Say how and when the client agreed.")
    return redirect("release-read", request.actor.firm.slug, visit.pk)


@require_POST
@member_view
def share_link_revoke(request: MemberRequest, link_id: UUID) -> HttpResponse:
    link = access.link_to_change(request.actor, link_id)
    share_links.revoke(actor=request.actor, link=link, now=timezone.now())
    messages.success(request, f"The link of {link.contact.name} is closed.")
    return redirect("release-read", request.actor.firm.slug, link.visit_id)


def _page(
    request: MemberRequest, visit_id: UUID, form: ReleaseForm, status: int = 200
) -> HttpResponse:
    request.actor.require("reports.share")
    visit = visit_to_read(request.actor, visit_id)
    page = release_rows.release_page(
        request.actor,
        visit,
        releases.newest_work(actor=request.actor, visit=visit),
        request.session.pop(f"door:{visit.pk}", ""),
    )
    context = {"page": page, "form": form}
    return render(request, "reports/releases/release.html", context, status=status)
