"""The pages behind a share link: the only ones about a report without a login."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from firm import callers
from firm.access import firm_behind
from firm.actor import Actor
from firm.http import takes_a_form
from firm.tenancy import bound
from reports import access
from reports.forms import CodeForm
from reports.services import cuts, files, opening, share_links, told
from reports.views import serving
from reports.views.share_session import (
    begin,
    caller_of,
    closed_as_page,
    gone,
    host_of,
    note,
    opened,
)

if TYPE_CHECKING:
    from firm.models import Firm
    from reports.models import Release, ShareLink

UNKNOWN_A_MINUTE = 60


@require_http_methods(["GET", "HEAD", "POST"])
def landing(request: HttpRequest, token: str) -> HttpResponse:
    """Show only the firm's name and a button; opening takes a POST."""
    firm = _known(request, token)
    if firm is None:
        return _too_many(request)
    with bound(firm.pk), closed_as_page() as closed:
        link = access.link_by_token(token, timezone.now())
        access.latest_release(link)
        form = CodeForm(request.POST if request.method == "POST" else None)
        if request.method == "POST" and _opens(request, firm, link, form):
            return redirect("share-report")
        if request.method == "GET":
            note(request, link, "fetched")
        return _door(request, firm, link, form)
    return takes_a_form(gone(request, closed))


@require_POST
def renew(request: HttpRequest, token: str) -> HttpResponse:
    """Mail a new link to the stored address; the answer tells nothing either way."""
    firm = _known(request, token)
    if firm is None:
        return _too_many(request)
    now = timezone.now()
    with bound(firm.pk), closed_as_page() as closed:
        access.link_by_token(token, now)
    if closed and (link := closed[0].run_out) is not None:
        with bound(firm.pk):
            actor = Actor.link(firm, link.contact.name, link.pk)
            share_links.renew(actor=actor, link=link, address=host_of(request), now=now)
    return render(request, "reports/share/renewed.html")


@require_GET
@opened
def report(request: HttpRequest, link: ShareLink) -> HttpResponse:
    release = access.latest_release(link)
    note(request, link, "report")
    if not link.whole:
        return serving.page(request, cuts.summary_page(release))
    return serving.page(request, files.artefact(release, "web"))


@require_GET
@opened
def gallery(request: HttpRequest, link: ShareLink) -> HttpResponse:
    release = access.latest_release(link)
    if not link.whole:
        return serving.page(request, cuts.summary_gallery(release))
    return serving.page(request, files.artefact(release, "gallery"))


@require_GET
@opened
def pdf(request: HttpRequest, link: ShareLink) -> HttpResponse:
    release = access.latest_release(link)
    note(request, link, "pdf")
    if not link.whole:
        made = cuts.as_pdf(release, cuts.summary_cut(release))
        return serving.download(request, made, f"{release.number}-first.pdf")
    return serving.download(request, files.artefact(release, "pdf"), file_name(release))


@require_GET
@opened
def photo(
    request: HttpRequest, link: ShareLink, photo_id: UUID, size: str
) -> HttpResponse:
    release = access.latest_release(link)
    if str(photo_id) not in told.photos_seen(release, whole=link.whole):
        raise Http404
    if size == "large":
        note(request, link, "photo")
    kinds = request.headers.get("Accept", "")
    return serving.picture(request, files.photo(release, str(photo_id), size, kinds))


def file_name(release: Release) -> str:
    return f"{release.number}-issue-{release.issue}.pdf"


def _known(request: HttpRequest, token: str) -> Firm | None:
    """Return the firm behind a token; None when this caller has guessed too much.

    Counted before the database is asked, and taken back when the token was good.
    """
    name = f"unknown:{callers.address_of(request)}"
    if callers.count(name) > UNKNOWN_A_MINUTE:
        return None
    firm = firm_behind(token)
    if firm is None:
        raise Http404
    callers.uncount(name)
    return firm


def _too_many(request: HttpRequest) -> HttpResponse:
    return render(request, "reports/share/too_many.html", status=429)


def _opens(request: HttpRequest, firm: Firm, link: ShareLink, form: CodeForm) -> bool:
    if not form.is_valid():
        return False
    now = timezone.now()
    try:
        opening.open_door(
            link=link,
            code=form.cleaned_data["code"],
            caller=caller_of(request),
            now=now,
        )
    except opening.WrongCode as refusal:
        form.add_error("code", refusal.message)
        return False
    begin(request, firm, link, now)
    return True


def _door(
    request: HttpRequest, firm: Firm, link: ShareLink, form: CodeForm
) -> HttpResponse:
    context = {"firm_name": firm.name, "form": form if link.code else None}
    status = 400 if form.errors else 200
    return takes_a_form(
        render(request, "reports/share/landing.html", context, status=status)
    )
