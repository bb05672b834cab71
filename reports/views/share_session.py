"""An opened share link: the session behind it, its end, and what is noted of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from functools import wraps
from typing import TYPE_CHECKING, Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.utils import timezone

from firm.access import firm_by_id
from firm.callers import address_of
from firm.tenancy import bound
from reports import access
from reports.services.share_links import Caller, note_opening

if TYPE_CHECKING:
    from firm.models import Firm
    from reports.models import ShareLink

IDLE, ABSOLUTE = timedelta(hours=2), timedelta(hours=24)
Page = Callable[..., HttpResponseBase]


def opened(page: Page) -> Callable[..., HttpResponseBase]:
    """Let a page in only with a share session whose link is still good."""

    @wraps(page)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        now = timezone.now()
        held = request.session.get("share")
        firm = _session_firm(held, now)
        if held is None or firm is None:
            return render(request, "reports/share/ended.html", status=401)
        with bound(firm.pk), closed_as_page() as closed:
            link = access.link_by_id(UUID(held["link"]), now)
            held["seen_at"] = now.isoformat()
            request.session["share"] = held
            return page(request, link, *args, **kwargs)
        return gone(request, closed)

    return guarded


def begin(request: HttpRequest, firm: Firm, link: ShareLink, now: datetime) -> None:
    """Begin reading: from here on no address carries the secret."""
    request.session["share"] = {
        "firm": str(firm.pk),
        "link": str(link.pk),
        "opened_at": now.isoformat(),
        "seen_at": now.isoformat(),
    }
    request.session.cycle_key()


def note(request: HttpRequest, link: ShareLink, action: str) -> None:
    note_opening(
        link=link, action=action, caller=caller_of(request), now=timezone.now()
    )


def caller_of(request: HttpRequest) -> Caller:
    return Caller.of(address_of(request), request.headers.get("User-Agent", ""))


def host_of(request: HttpRequest) -> str:
    return f"{request.scheme}://{request.get_host()}"


@contextmanager
def closed_as_page() -> Iterator[list[access.LinkClosed]]:
    """Swallow LinkClosed so that the caller answers with the page for it."""
    closed: list[access.LinkClosed] = []
    try:
        yield closed
    except access.LinkClosed as refusal:
        closed.append(refusal)


def gone(request: HttpRequest, closed: list[access.LinkClosed]) -> HttpResponse:
    """Answer for a closed link; one that only ran out may be asked for anew."""
    if not closed:
        raise Http404
    context = {"run_out": closed[0].run_out is not None}
    return render(request, "reports/share/gone.html", context, status=410)


def _session_firm(held: dict[str, str] | None, now: datetime) -> Firm | None:
    if held is None:
        return None
    opened_at = datetime.fromisoformat(held["opened_at"])
    seen_at = datetime.fromisoformat(held["seen_at"])
    if now - opened_at > ABSOLUTE or now - seen_at > IDLE:
        return None
    return firm_by_id(UUID(held["firm"]))
