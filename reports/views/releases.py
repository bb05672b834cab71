"""The firm's pages of releases and of the doors to them."""

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
from reports.forms import ConsentForm, PartyForm, ReleaseForm
from reports.selectors import release_rows
from reports.services import consents, releases, share_links
from reports.services.opening import new_code
from reports.views.share_session import host_of

if TYPE_CHECKING:
    from inspections.models import Party, Visit


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
    """Have a link mailed, or show it once in the answer; it is kept nowhere."""
    visit = visit_to_read(request.actor, visit_id)
    form = PartyForm(request.POST)
    made: dict[str, str] = {}
    if form.is_valid():
        party = access.party_to_share(visit, form.cleaned_data["party"])
        code = new_code() if form.cleaned_data["with_code"] else ""
        made = {"code": code}
        if form.cleaned_data["shown"]:
            made["address"] = _shown(request, visit, party, code)
        else:
            _sent(request, visit, party, code)
    if any(made.values()):
        return _page(request, visit_id, ReleaseForm(), made=made)
    return redirect("release-read", request.actor.firm.slug, visit.pk)


def _shown(request: MemberRequest, visit: Visit, party: Party, code: str) -> str:
    _, token = share_links.show_link(
        actor=request.actor, visit=visit, party=party, now=timezone.now(), code=code
    )
    return f"{host_of(request)}/r/{token}"


def _sent(request: MemberRequest, visit: Visit, party: Party, code: str) -> None:
    share_links.send_link(
        actor=request.actor,
        visit=visit,
        party=party,
        address=host_of(request),
        now=timezone.now(),
        code=code,
    )
    messages.success(request, f"A link is on its way to {party.contact.name}.")


@require_POST
@member_view
def consent_record(request: MemberRequest, visit_id: UUID) -> HttpResponse:
    request.actor.require("reports.share")
    visit = visit_to_read(request.actor, visit_id)
    form = ConsentForm(request.POST)
    if form.is_valid():
        party = access.party_to_share(visit, form.cleaned_data["party"])
        consents.consent(
            actor=request.actor,
            visit=visit,
            given_by=access.first_client(visit),
            for_contact=party.contact,
            scope=form.cleaned_data["scope"] or "FULL",
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
    request: MemberRequest,
    visit_id: UUID,
    form: ReleaseForm,
    status: int = 200,
    made: dict[str, str] | None = None,
) -> HttpResponse:
    request.actor.require("reports.share")
    visit = visit_to_read(request.actor, visit_id)
    page = release_rows.release_page(
        request.actor,
        visit,
        releases.newest_work(actor=request.actor, visit=visit),
        timezone.now(),
    )
    context = {"page": page, "form": form, "made": made}
    return render(request, "reports/releases/release.html", context, status=status)
