"""The pages behind a share link: the only ones about a report without a login."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from functools import wraps
from typing import TYPE_CHECKING, Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from firm.access import firm_behind, firm_by_id
from firm.actor import Actor
from firm.http import takes_a_form
from firm.tenancy import bound
from reports import access
from reports.forms import LetInForm
from reports.services import files, share_links
from reports.services.letting_in import let_in
from reports.views import serving

if TYPE_CHECKING:
    from firm.models import Firm
    from reports.models import Release, ShareLink

IDLE, ABSOLUTE = timedelta(hours=2), timedelta(hours=24)
Page = Callable[..., HttpResponse]


@require_http_methods(["GET", "HEAD", "POST"])
def landing(request: HttpRequest, token: str) -> HttpResponse:
    """Show only the firm's name and a button; opening takes a POST."""
    firm = firm_behind(token)
    if firm is None:
        raise Http404
    now = timezone.now()
    with bound(firm.pk), _closed_as_page() as closed:
        link = access.link_by_token(token, now)
        access.latest_release(link)
        if request.method == "POST":
            _note(request, link, "opened", now)
            _open(request, firm, link, now)
            return redirect("share-report")
        if request.method == "GET":
            _note(request, link, "fetched", now)
        context = {"firm_name": firm.name}
        return takes_a_form(render(request, "reports/share/landing.html", context))
    return _gone(request, closed)


def opened(page: Page) -> Callable[..., HttpResponse]:
    """Let a page in only with a share session whose link is still good."""

    @wraps(page)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        now = timezone.now()
        held = request.session.get("share")
        firm = _session_firm(held, now)
        if held is None or firm is None:
            return render(request, "reports/share/ended.html", status=401)
        with bound(firm.pk), _closed_as_page() as closed:
            link = access.link_by_id(UUID(held["link"]), now)
            held["seen_at"] = now.isoformat()
            request.session["share"] = held
            return page(request, link, *args, **kwargs)
        return _gone(request, closed)

    return guarded


@require_GET
@opened
def report(request: HttpRequest, link: ShareLink) -> HttpResponse:
    _note(request, link, "report", timezone.now())
    return serving.page(request, files.artefact(access.latest_release(link), "web"))


@require_GET
@opened
def gallery(request: HttpRequest, link: ShareLink) -> HttpResponse:
    return serving.page(request, files.artefact(access.latest_release(link), "gallery"))


@require_GET
@opened
def pdf(request: HttpRequest, link: ShareLink) -> HttpResponse:
    release = access.latest_release(link)
    _note(request, link, "pdf", timezone.now())
    return serving.download(request, files.artefact(release, "pdf"), file_name(release))


@require_GET
@opened
def photo(
    request: HttpRequest, link: ShareLink, photo_id: UUID, size: str
) -> HttpResponse:
    release = access.latest_release(link)
    return serving.picture(request, files.photo(release, str(photo_id), size))


@require_http_methods(["GET", "POST"])
@opened
def people(request: HttpRequest, link: ShareLink) -> HttpResponse:
    """Let a client let one more person read; the consent is kept with its words."""
    if link.part != "CLIENT":
        raise Http404
    form = LetInForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actor = Actor.link(link.visit.firm, link.contact.name, link.pk)
        address = f"{request.scheme}://{request.get_host()}"
        let_in(
            actor=actor,
            link=link,
            person=form.cleaned_data,
            address=address,
            now=timezone.now(),
        )
        return redirect("share-people")
    readers = [row.contact.name for row in access.readers(link)]
    context = {"form": form, "readers": readers, "firm": link.visit.firm}
    return takes_a_form(render(request, "reports/share/people.html", context))


def file_name(release: Release) -> str:
    return f"{release.number}-issue-{release.issue}.pdf"


def _open(request: HttpRequest, firm: Firm, link: ShareLink, now: datetime) -> None:
    request.session["share"] = {
        "firm": str(firm.pk),
        "link": str(link.pk),
        "opened_at": now.isoformat(),
        "seen_at": now.isoformat(),
    }
    request.session.cycle_key()


def _session_firm(held: dict[str, str] | None, now: datetime) -> Firm | None:
    if held is None:
        return None
    opened_at = datetime.fromisoformat(held["opened_at"])
    seen_at = datetime.fromisoformat(held["seen_at"])
    if now - opened_at > ABSOLUTE or now - seen_at > IDLE:
        return None
    return firm_by_id(UUID(held["firm"]))


def _note(request: HttpRequest, link: ShareLink, action: str, now: datetime) -> None:
    caller = share_links.Caller.of(
        request.META.get("REMOTE_ADDR", ""), request.headers.get("User-Agent", "")
    )
    share_links.note_opening(link=link, action=action, caller=caller, now=now)


@contextmanager
def _closed_as_page() -> Iterator[list[bool]]:
    """Swallow LinkClosed so that the caller answers with the page for it."""
    closed: list[bool] = []
    try:
        yield closed
    except access.LinkClosed:
        closed.append(True)


def _gone(request: HttpRequest, closed: list[bool]) -> HttpResponse:
    if not closed:
        raise Http404
    return render(request, "reports/share/gone.html", status=410)
