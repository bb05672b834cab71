"""The door of every signed-in page: who asks, for which firm, within its rows."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, cast
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase

from firm.access import firm_by_slug, membership_of
from firm.actor import Actor
from firm.models import User
from firm.selectors.header import header_row
from firm.tenancy import bound

View = Callable[..., HttpResponseBase]


class MemberRequest(HttpRequest):
    """A request whose user is a member of the firm in the address."""

    user: User
    actor: Actor


def member_view(view: View) -> View:
    """Bind the firm named in the address; a stranger gets the same 404 as nobody."""

    @login_required
    @wraps(view)
    def guarded(
        request: HttpRequest, firm_slug: str, *args: Any, **kwargs: Any
    ) -> HttpResponseBase:
        firm = firm_by_slug(firm_slug)
        if firm is None:
            raise Http404
        with bound(firm.pk):
            membership = membership_of(firm, cast(User, request.user))
            if membership is None:
                raise Http404
            member_request = cast(MemberRequest, request)
            member_request.actor = Actor.member(firm, membership)
            request.session["firm"] = str(firm.pk)
            return view(member_request, *args, **kwargs)

    guarded.is_member_view = True  # type: ignore[attr-defined]
    return guarded


def takes_a_form(response: HttpResponse) -> HttpResponse:
    """Let a page behind a secret address send its form.

    Under no-referrer a browser says "Origin: null" with a form, which is refused as
    forged. This policy sends the host and never the address, so the secret stays.
    """
    response.headers["Referrer-Policy"] = "strict-origin"
    return response


def active_firm_id(request: HttpRequest) -> UUID | None:
    """Return the firm this session last worked in; never taken from the request."""
    value = request.session.get("firm")
    return UUID(value) if value else None


def page_frame(request: HttpRequest) -> dict[str, Any]:
    """Give templates the firm and the actor, where there is one."""
    actor = getattr(request, "actor", None)
    if actor is None:
        return {}
    return {
        "actor": actor,
        "firm": actor.firm,
        "may": actor.capabilities,
        "header": header_row(actor, request.path),
    }
