"""Pages on which the firm checks a state's standard and puts it in force."""

from collections.abc import Callable
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from findings.forms.asks import BecauseForm, CheckForm, NoticeForm, SwitchOnForm
from findings.selectors import standard_pages as rows
from findings.services import standards
from findings.standards import loader
from findings.standards.schema import Pack
from firm.access import member_to_read
from firm.errors import Refusal
from firm.http import MemberRequest, member_view


@member_view
def standard_list(request: MemberRequest) -> HttpResponse:
    request.actor.require("standards.read")
    page = rows.list_page(request.actor, timezone.localdate())
    return render(request, "findings/standards/list.html", {"page": page})


@member_view
def standard_read(request: MemberRequest, code: str) -> HttpResponse:
    request.actor.require("standards.read")
    return _page(request, _pack(code))


@require_POST
@member_view
def standard_check(request: MemberRequest, code: str) -> HttpResponse:
    pack, actor = _pack(code), request.actor
    choices = rows.page(actor, pack, timezone.localdate()).to_check
    form = CheckForm(request.POST, choices=list(choices))

    def act() -> str:
        count = standards.check_lines(
            actor=actor, pack=pack, today=timezone.localdate(), **form.cleaned_data
        )
        return f"{count} lines are checked." if count != 1 else "One line is checked."

    return _done(request, pack, form, act, check_form=form)


@require_POST
@member_view
def standard_notice(request: MemberRequest, code: str) -> HttpResponse:
    pack = _pack(code)
    form = NoticeForm(request.POST)

    def act() -> str:
        standards.enter_notice(
            actor=request.actor,
            pack=pack,
            today=timezone.localdate(),
            **form.cleaned_data,
        )
        return "The notice is entered."

    return _done(request, pack, form, act, notice_form=form)


@require_POST
@member_view
def standard_on(request: MemberRequest, code: str) -> HttpResponse:
    pack, actor = _pack(code), request.actor
    people = rows.page(actor, pack, timezone.localdate()).people
    form = SwitchOnForm(request.POST, people=list(people))

    def act() -> str:
        standards.switch_on(
            actor=actor,
            pack=pack,
            keeper=member_to_read(actor, UUID(form.cleaned_data["keeper"])),
            now=timezone.now(),
            today=timezone.localdate(),
        )
        return f"The standard of {pack.name} is on."

    return _done(request, pack, form, act, on_form=form)


@require_POST
@member_view
def standard_off(request: MemberRequest, code: str) -> HttpResponse:
    pack = _pack(code)
    form = BecauseForm(request.POST)

    def act() -> str:
        because = form.cleaned_data["because"]
        standards.switch_off(
            actor=request.actor, pack=pack, because=because, now=timezone.now()
        )
        return f"The standard of {pack.name} is off for new bookings."

    return _done(request, pack, form, act, off_form=form)


def _pack(code: str) -> Pack:
    try:
        return loader.pack(code)
    except KeyError:
        raise Http404 from None


def _done(
    request: MemberRequest,
    pack: Pack,
    form: forms.Form,
    act: Callable[[], str],
    **shown: forms.Form,
) -> HttpResponse:
    """Do it and go back; else show the page again with what was typed."""
    request.actor.require("standards.read")
    if form.is_valid():
        try:
            messages.success(request, act())
        except Refusal as refusal:
            form.add_error(
                refusal.field if refusal.field in form.fields else None,
                [refusal.message, *refusal.details],
            )
            return _page(request, pack, status=refusal.status, **shown)
        return redirect("standard-read", request.actor.firm.slug, pack.pack)
    return _page(request, pack, status=400, **shown)


def _page(
    request: MemberRequest, pack: Pack, *, status: int = 200, **shown: forms.Form
) -> HttpResponse:
    page = rows.page(request.actor, pack, timezone.localdate())
    given = {
        "check_form": CheckForm(choices=list(page.to_check)),
        "notice_form": None,
        "on_form": SwitchOnForm(people=list(page.people)),
        "off_form": BecauseForm(),
    } | shown
    context = {"page": page, **given}
    return render(request, "findings/standards/standard.html", context, status=status)
