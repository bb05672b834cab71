"""What a reader takes along: sheets for trades, the photos, their own list, papers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from firm.errors import Refusal
from firm.http import takes_a_form
from reports import access
from reports.forms import ListLineForm
from reports.selectors import reader_pages
from reports.services import attachments, cuts, lists, told, zipped
from reports.views import serving
from reports.views.share_session import note, opened

if TYPE_CHECKING:
    from reports.models import Release, ShareLink
    from reports.rendering.cut import Cut

WORD = "application/vnd.openxmlformats-officedocument.wordprocessingml.document"


@require_GET
@opened
def trade(request: HttpRequest, link: ShareLink, trade_key: str) -> HttpResponse:
    release = access.latest_release(link)
    cut = cuts.trade_cut(release, trade_key, whole=link.whole)
    name = f"{release.number}-{trade_key}.pdf"
    return serving.download(request, cuts.as_pdf(release, cut), name)


@require_GET
@opened
def photos_zip(request: HttpRequest, link: ShareLink) -> HttpResponseBase:
    release = access.latest_release(link)
    note(request, link, "zip")
    return serving.archive(
        zipped.photos(release, whole=link.whole), f"{release.number}-photos.zip"
    )


@require_http_methods(["GET", "POST"])
@opened
def own_list(request: HttpRequest, link: ShareLink) -> HttpResponse:
    """Show a client's list, which starts empty, and put one more line on it."""
    release = _for_client(link)
    start = {"number": request.GET.get("about", "")}
    form = ListLineForm(request.POST or None, initial=start)
    if request.method == "POST" and form.is_valid():
        try:
            lists.add(
                link=link, release=release, now=timezone.now(), **form.cleaned_data
            )
        except Refusal as refusal:
            form.add_error(refusal.field, refusal.message)
        else:
            return redirect("share-list")
    page = reader_pages.list_page(link, told.address_of(release), told.named(release))
    context = {"form": form, "page": page}
    status = 400 if form.errors else 200
    return takes_a_form(
        render(request, "reports/share/list.html", context, status=status)
    )


@require_POST
@opened
def list_strike(_request: HttpRequest, link: ShareLink, number: int) -> HttpResponse:
    _for_client(link)
    lists.strike(link=link, position=number)
    return redirect("share-list")


@require_GET
@opened
def list_pdf(request: HttpRequest, link: ShareLink) -> HttpResponse:
    release = _for_client(link)
    cut = _list(link, release)
    return serving.download(
        request, cuts.as_pdf(release, cut), f"{release.number}-my-list.pdf"
    )


@require_GET
@opened
def list_docx(request: HttpRequest, link: ShareLink) -> HttpResponse:
    release = _for_client(link)
    made = cuts.as_docx(release, _list(link, release))
    return serving.download(request, made, f"{release.number}-my-list.docx", WORD)


@require_GET
@opened
def paper(request: HttpRequest, link: ShareLink, sha256: str) -> HttpResponse:
    """Serve what others supplied: as a download, never shown here."""
    if not link.whole:
        raise Http404
    file, name = attachments.listed(access.latest_release(link), sha256)
    return serving.download(request, file, name, "application/octet-stream")


def _for_client(link: ShareLink) -> Release:
    if link.part != "CLIENT":
        raise Http404
    return access.latest_release(link)


def _list(link: ShareLink, release: Release) -> Cut:
    lines = lists.as_lines(lists.lines_of(link))
    if not lines:
        raise Http404
    return cuts.list_cut(release, lines, by=link.contact.name)
